//! The line under a group of rows: how many there are, and the sums that the list of groups has of them.
//!
//! Always: nothing is added up here; what stands under a group is what the list of groups of the workbook says.
//! Not known here: which rows are in a group.

use std::sync::Arc;

use rust_decimal::prelude::ToPrimitive as _;

use super::reading::Line;
use crate::language::work::Outcome;
use crate::window::arrange::{Arrangement, Group, Plan};
use crate::window::groups;
use crate::window::look::State;
use crate::window::spot::{Field, Seen, Shown, Spot};

/// The place of a quantity among those of a sheet.
fn named(seen: Seen<'_>, name: &str) -> Option<usize> {
    seen.results.quantities.iter().position(|known| *known.name == *name)
}

/// Where the sums of groups stand.
pub(super) struct Totals<'a> {
    by: Option<Arc<str>>,
    sums: Option<Seen<'a>>,
}

impl<'a> Totals<'a> {
    /// The sums of the groups that a list is shown in.
    pub fn of(seen: Seen<'a>, arrangement: &Arrangement) -> Totals<'a> {
        let by = arrangement.by.rows.groups.clone();
        let at = by
            .as_deref()
            .and_then(|by| groups::list_of(seen.session, &seen.results.name, by));
        let sums = at.and_then(|at| Seen::of(seen.session, at));
        Totals {
            by,
            sums: sums.map(|sums| sums.shown_in(seen.system)),
        }
    }

    /// The row of a group in the list of groups.
    fn item(&self, seen: Seen<'_>, group: &Group) -> Option<usize> {
        let by = self.by.as_deref()?;
        let own = seen.quantity(named(seen, by)?)?.cells.get(group.item)?;
        let sums = self.sums?;
        let keys = &sums.quantity(named(sums, by)?)?.cells;
        matches!(own, Outcome::Value(_)).then(|| keys.iter().position(|key| key == own))?
    }

    /// The line under a group.
    pub fn line(&self, seen: Seen<'_>, plan: &Plan, line: usize, group: &Group) -> Line {
        let item = self.item(seen, group);
        let sum = |name: &str| {
            let (sums, item) = (self.sums?, item?);
            let quantity = named(sums, name)?;
            let field = Field::Value(item);
            let shown = sums.shown(Spot { quantity, field }, false);
            Some((shown, sums.unit(quantity), sums.quantity(quantity)?.title.clone()))
        };
        let name = match group.name.is_empty() {
            true => "no value".to_owned(),
            false => {
                let by = self.by.as_deref().unwrap_or_default();
                let quantity = named(seen, by).unwrap_or_default();
                let field = Field::Value(group.item);
                seen.shown(Spot { quantity, field }, false).text
            }
        };
        // The list of groups knows nothing of what is in sight.
        let all = || {
            let sums = self.sums?;
            let cells = &sums.quantity(named(sums, groups::ROWS)?)?.cells;
            cells.get(item?)?.as_number()?.to_decimal()?.to_usize()
        };
        let rows = match (group.rows, all()) {
            (rows, Some(all)) if rows != all => format!("{rows} of {all} rows, sums of all"),
            (1, _) => "1 row".to_owned(),
            (rows, _) => format!("{rows} rows"),
        };
        let cells = plan.quantities.iter().map(|at| {
            let Some(quantity) = seen.quantity(*at) else {
                return Shown::default();
            };
            if self.by.as_ref() == Some(&quantity.name) {
                return Shown {
                    text: format!("{rows} · {name}"),
                    ..Shown::default()
                };
            }
            let made = match groups::counts(quantity) {
                true => sum(groups::MOTORS),
                false => groups::over(&quantity.name).into_iter().find_map(|name| sum(&name)),
            };
            let Some((mut shown, unit, title)) = made else {
                return Shown::default();
            };
            // Shown under the numbers of its column it is in their unit, or says in which.
            if !unit.is_empty() && unit != seen.unit(*at) && !shown.text.is_empty() {
                shown.text = format!("{} {unit}", shown.text);
            }
            if shown.state == State::Worked {
                shown.state = State::Words;
            }
            shown.why = Some(shown.why.map_or(title.clone(), |why| format!("{title}\n{why}")));
            shown
        });
        Line {
            line,
            group: Some(group.folded),
            gutter: if group.folded { "▸ Σ" } else { "▾ Σ" }.to_owned(),
            cells: cells.collect(),
            name: format!("group {name}"),
            ..Line::default()
        }
    }
}
