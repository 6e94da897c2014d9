//! Where a change is seen: the place a user is led to when it is taken back or done again.
//!
//! Always: looked at before the change is applied; of several changes the first that has a place.
//! Not known here: what is shown of the place.

use super::{Change, Place};
use crate::language::syntax::Name;
use crate::workbook::{Line, Statement, Workbook};

/// A place that a change touches.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Touches {
    /// Place of the sheet.
    pub sheet: usize,
    /// The quantity, and what it is called afterwards where that is another name.
    pub quantity: Vec<Name>,
    /// The case or row.
    pub item: Option<usize>,
    /// How many items more are touched with it, at least.
    pub more: usize,
}

/// The quantity that a line is about.
fn quantity_of(line: &Line) -> Option<Name> {
    match &line.statement {
        Statement::Quantity(quantity) => Some(quantity.name.clone()),
        Statement::CasesOver { name, .. } | Statement::At { name, .. } => Some(name.clone()),
        _ => None,
    }
}

/// The quantity that a typed line is about: its first name behind the role.
fn quantity_typed(text: &str) -> Option<Name> {
    let mut words = text.split_whitespace();
    let role = words.next()?;
    let name = words.next()?;
    matches!(role, "given" | "work" | "seek").then(|| name.into())
}

impl Change {
    /// Where it is seen; `None` where that is no sheet.
    pub fn touches(&self, book: &Workbook) -> Option<Touches> {
        let index = |name: &Name| book.sheets.iter().position(|sheet| sheet.name == *name);
        let of_sheet = |sheet: usize| Touches {
            sheet,
            ..Touches::default()
        };
        let of = |name: &Name, quantity: Option<&Name>, item: Option<usize>| {
            Some(Touches {
                quantity: quantity.into_iter().cloned().collect(),
                item,
                ..of_sheet(index(name)?)
            })
        };
        let line = |place: Place, typed: Option<&str>| {
            let Place::Line(sheet, line) = place else { return None };
            let known = book.sheets.get(sheet)?.lines.get(line).and_then(quantity_of);
            let known = known.filter(|_| !matches!(self, Change::InsertLine { .. }));
            Some(Touches {
                quantity: known.into_iter().chain(typed.and_then(quantity_typed)).collect(),
                ..of_sheet(sheet)
            })
        };
        match self {
            Change::SetLine { place, text } | Change::InsertLine { place, text, .. } => line(*place, Some(text)),
            Change::DeleteLine { place } | Change::MoveLine { place, .. } | Change::SetComment { place, .. } => {
                line(*place, None)
            }
            Change::SetValue {
                sheet, quantity, case, ..
            } => of(sheet, Some(quantity), *case),
            Change::SetClause { sheet, quantity, .. } => of(sheet, Some(quantity), None),
            Change::SetCell {
                list, row, quantity, ..
            } => of(list, Some(quantity), Some(*row)),
            Change::InsertRow { list, at, .. } => of(list, None, Some(*at)),
            Change::DeleteRow { list, row } | Change::MoveRow { list, row, .. } => of(list, None, Some(*row)),
            Change::DeleteRows { list, rows } => {
                let mut touches = of(list, None, rows.first().copied())?;
                touches.more = rows.len().saturating_sub(1);
                Some(touches)
            }
            Change::InsertColumn { list, name, .. } | Change::DeleteColumn { list, name } => of(list, Some(name), None),
            Change::InsertCase { sheet, at, .. } => of(sheet, None, Some(*at)),
            Change::DeleteCase { sheet, case }
            | Change::MoveCase { sheet, case, .. }
            | Change::RenameCase { sheet, case, .. } => of(sheet, None, Some(*case)),
            Change::Rename {
                sheet: Some(sheet),
                from,
                to,
            } => {
                let mut touches = of(sheet, Some(from), None)?;
                touches.quantity.push(to.clone());
                Some(touches)
            }
            Change::RenameSheet { from, .. } => of(from, None, None),
            Change::DeleteSheet { sheet } | Change::MoveSheet { sheet, .. } => of(sheet, None, None),
            Change::SetTitle { sheet: Some(sheet), .. } => of(sheet, None, None),
            Change::InsertSheet { at, .. } => Some(of_sheet(*at)),
            Change::Several(changes) => {
                // A clause that goes with a value of its line is seen at the value.
                let of_value = |name: &Name| {
                    changes.iter().any(|change| match change {
                        Change::SetValue { quantity, .. } | Change::SetCell { quantity, .. } => quantity == name,
                        _ => false,
                    })
                };
                let goes_along =
                    |change: &&Change| matches!(change, Change::SetClause { quantity, .. } if of_value(quantity));
                let seen = changes.iter().filter(|change| !goes_along(change));
                let mut places = seen.filter_map(|change| change.touches(book));
                let mut first = places.next()?;
                first.more += places.count();
                Some(first)
            }
            Change::Rename { sheet: None, .. } | Change::SetTitle { sheet: None, .. } | Change::Restore(_) => None,
        }
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::workbook::change::Clause;
    use crate::workbook::text;

    #[test]
    fn a_change_is_seen_where_its_quantity_and_item_are() {
        let book = text::read(
            "polepair 1\nsheet a\n  given x = 1\nlist m\n  given tag : text\n  given P in kW\n  rows tag | P\n    \"A\" | 1 kW\n    \"B\" | 2 kW\n",
        );
        let cell = |row| Change::SetCell {
            list: "m".into(),
            row,
            quantity: "P".into(),
            text: "3 kW".into(),
        };
        let touches = cell(1).touches(&book).unwrap();
        assert_eq!((touches.sheet, touches.item, touches.more), (1, Some(1), 0));
        assert_eq!(touches.quantity, [Name::from("P")]);
        let many = Change::Several(vec![cell(0), cell(1)]).touches(&book).unwrap();
        assert_eq!((many.item, many.more), (Some(0), 1));
        let unit = Change::SetClause {
            sheet: "m".into(),
            quantity: "P".into(),
            clause: Clause::Unit,
            text: "in W".into(),
        };
        let with_unit = Change::Several(vec![unit.clone(), cell(1)]).touches(&book).unwrap();
        assert_eq!((with_unit.item, with_unit.more), (Some(1), 0));
        assert_eq!(
            Change::Several(vec![unit.clone(), unit]).touches(&book).unwrap().more,
            1
        );
        let anew = Change::SetLine {
            place: Place::Line(0, 0),
            text: "given y = 2".into(),
        };
        let names = anew.touches(&book).unwrap().quantity;
        assert_eq!(names, [Name::from("x"), Name::from("y")]);
    }
}
