//! Columns, lines and groups as a whole: what is chosen by a heading or a margin, and what acts on it then.
//!
//! Always: what acts on a chosen column acts on the quantity or the case that it is; on a chosen line, on the quantity or the row.
//! Not known here: how a heading looks.

use super::told::About;
use super::{Comes, Window};
use crate::window::arrange::{At, Whole};
use crate::window::command::Act;
use crate::window::grid::OfNote;
use crate::window::spot::{Field, Spot};
use crate::window::typing::Editing;
use crate::window::{groups, many};
use crate::workbook::Form;
use crate::workbook::change::{Change, Place};

impl Window {
    /// Chooses a column, alone or with those up to it.
    pub(super) fn choose_column(&mut self, column: usize, extend: bool) {
        let Some(plan) = self.plan() else { return };
        if let Some(arrangement) = self.arrangement() {
            arrangement.choose_column(&plan, column, extend);
        }
    }

    /// Chooses a line, alone or with those up to it.
    pub(super) fn choose_line(&mut self, line: usize, extend: bool) {
        let Some(plan) = self.plan() else { return };
        if let Some(arrangement) = self.arrangement() {
            arrangement.choose_line(&plan, line, extend);
        }
    }

    /// Chooses the column or the line of the chosen place.
    pub(super) fn choose_whole(&mut self, whole: Whole) {
        let Some(at) = self.arrangement().map(|arrangement| arrangement.at) else {
            return;
        };
        match whole {
            Whole::Columns => self.choose_column(at.column, false),
            Whole::Lines => self.choose_line(at.line, false),
        }
    }

    /// What is chosen as a whole, by the form of the sheet.
    pub(super) fn whole(&self) -> Option<(Form, Whole)> {
        let picture = self.picture.as_ref()?;
        let arrangement = self.arrangements.get(&picture.name)?;
        Some((picture.form, arrangement.whole?))
    }

    /// Whether a column of a list, a quantity, is chosen as a whole.
    pub(super) fn chose_quantities(&self) -> bool {
        self.whole() == Some((Form::List, Whole::Columns))
    }

    /// One place is chosen where a whole was, and in sight: what is typed goes there.
    pub(super) fn choose_one(&mut self) {
        let page = self.page;
        let Some(plan) = self.plan() else { return };
        if let Some(arrangement) = self.arrangement()
            && arrangement.whole.is_some()
        {
            arrangement.choose(arrangement.at, false);
            arrangement.follow(&plan, page);
        }
    }

    /// A command on a case that is chosen as a whole is one for the case.
    pub(super) fn act_for_case(&self, act: Act) -> Act {
        if self.whole() != Some((Form::Sheet, Whole::Columns)) {
            return act;
        }
        match act {
            Act::Insert | Act::InsertAfter => Act::InsertCase,
            Act::Rename => Act::RenameCase,
            Act::CopyLines => Act::CopyCase,
            Act::MoveBack => Act::CaseBack,
            Act::MoveOn => Act::CaseOn,
            act => act,
        }
    }

    /// Takes away what is chosen as a whole, where it is a column. `false`: it is none.
    pub(super) fn delete_columns(&mut self) -> bool {
        let Some((form, Whole::Columns)) = self.whole() else {
            return false;
        };
        match form {
            Form::List => self.many("delete", many::delete_quantities),
            Form::Sheet => self.delete_cases(),
        }
        true
    }

    /// Takes the chosen cases away, all in one step.
    fn delete_cases(&mut self) {
        let Some((_, plan, (first, last))) = self.chosen_range() else {
            return;
        };
        let Some(seen) = self.seen() else { return };
        let named = |item: &usize| seen.results.items.get(*item).is_some_and(|name| !name.is_empty());
        let cases: Vec<usize> = (first.column..=last.column)
            .filter_map(|column| match plan.fields.get(column) {
                Some(Field::Value(item)) => Some(*item),
                _ => None,
            })
            .filter(named)
            .collect();
        let sheet = seen.sheet.name.clone();
        if cases.is_empty() {
            let words = "Only a case is taken away as a column; choose lines to take quantities away.";
            self.tell(About::Change, words, true);
            return;
        }
        // The last one first: those before it keep their places.
        let delete = |case: &usize| Change::DeleteCase {
            sheet: sheet.clone(),
            case: *case,
        };
        let names: Vec<&str> = cases
            .iter()
            .filter_map(|case| seen.results.items.get(*case))
            .map(|name| &**name)
            .collect();
        let word = if names.len() == 1 { "Case" } else { "Cases" };
        let said = format!(
            "{word} {} deleted with their values. Ctrl+Z takes it back.",
            names.join(", ")
        );
        let changes = cases.iter().rev().map(delete).collect();
        self.apply("delete the case", changes, None);
        self.say(said, false);
    }

    /// The row that is next in the order of the view once the chosen ones are gone, by its number then; none where the rows stand in
    /// their own order.
    pub(super) fn row_behind_chosen(&mut self) -> Option<Comes> {
        let (sheet, plan, (first, last)) = self.chosen_range()?;
        let gone = many::rows(&plan, (first, last));
        if gone.is_empty() || plan.order.is_none() {
            return None;
        }
        let mut behind = last.line + 1..plan.lines();
        let mut before = plan.heads()..first.line;
        let row = behind.find_map(|line| plan.item(line)).or_else(|| {
            before
                .rfind(|line| plan.item(*line).is_some())
                .and_then(|line| plan.item(line))
        })?;
        let quantity = *plan.quantities.get(last.column)?;
        let field = Field::Value(row - gone.partition_point(|gone| *gone < row));
        Some(Comes::Row(sheet, Spot { quantity, field }))
    }

    /// Folds the lines that head a list, or unfolds them.
    pub(super) fn fold_headings(&mut self) {
        self.rearranged(None, |arrangement| arrangement.folded_heads = !arrangement.folded_heads);
    }

    /// Types what heads a column anew: its symbol, or what it is in words.
    pub(super) fn edit_head(&mut self, column: usize, field: Field) {
        let Some(plan) = self.plan() else { return };
        let Some(quantity) = plan.quantities.get(column).copied() else {
            return;
        };
        if let Some(arrangement) = self.arrangement() {
            arrangement.at.column = column;
            arrangement.choose(arrangement.at, false);
        }
        let sheet = self.sheet;
        let spot = Spot { quantity, field };
        if let Some(text) = self.seen().map(|seen| seen.opened(spot)) {
            self.editing = Some(Editing::open(sheet, spot, text.clone(), text));
        }
    }

    /// Puts another column behind the last one of a list.
    pub(super) fn another_column(&mut self) {
        let Some(plan) = self.plan() else { return };
        let last = plan.columns().saturating_sub(1);
        self.choose_column(last, false);
        self.acts.push(Act::InsertAfter);
    }

    /// Does what was asked for with a note of the sheet.
    pub(super) fn of_note(&mut self, statement: usize, does: OfNote) {
        match does {
            OfNote::Change => self.edit_note(statement),
            OfNote::Fold => {
                let Some(plan) = self.plan() else { return };
                let note = plan.notes.into_iter().find(|note| note.statement == statement);
                if let (Some(note), Some(arrangement)) = (note, self.arrangement())
                    && !arrangement.unfolded.remove(&note.text)
                {
                    let _ = arrangement.unfolded.insert(note.text);
                }
            }
            OfNote::Delete => {
                let place = Place::Line(self.sheet, statement);
                self.apply("take the note away", vec![Change::DeleteLine { place }], None);
            }
        }
    }

    /// Opens a note of the sheet where such lines are typed.
    fn edit_note(&mut self, statement: usize) {
        self.edit_line(Place::Line(self.sheet, statement));
    }

    /// Opens a line that has no place in the grid where such lines are typed.
    pub(super) fn edit_line(&mut self, place: Place) {
        if let Place::Line(sheet, _) = place
            && self.sheet != sheet
        {
            self.sheet = sheet;
            self.refresh();
        }
        self.panel = Some(crate::window::panels::Panel::Lines);
        let Some(session) = self.door.session() else { return };
        self.lines.read(session, self.sheet, self.system, self.changes);
        self.lines.open_line(place);
    }

    /// Puts rows of one value of the chosen quantity together, with the sums that the list of groups has of them; where they are so, lets
    /// them stand as they did.
    pub(super) fn group(&mut self) {
        let Some(quantity) = self.chosen_quantity() else { return };
        // The line under a group is of the groups, whichever column is chosen in it.
        let of_groups = self.chosen().is_none();
        let Some(seen) = self.seen() else { return };
        let Some(by) = seen.quantity(quantity).filter(|_| seen.results.form == Form::List) else {
            self.say("Choose a quantity of a list to group by.", true);
            return;
        };
        let (name, list) = (by.name.clone(), seen.results.name.clone());
        let rows = self.arrangements.get(&list).map(|known| &known.by.rows);
        let grouped = rows.and_then(|rows| rows.groups.clone());
        // The sums are those of the rows in sight.
        let only = rows.and_then(|rows| rows.filter.clone());
        if grouped.as_ref() == Some(&name) || of_groups && grouped.is_some() {
            self.ask_rows(|by| by.groups = None);
            return;
        }
        if let Some(why) = groups::refused(by) {
            self.say(why, true);
            return;
        }
        let known = groups::list_of(seen.session, &list, &name, only.as_deref());
        let (words, change) = match known {
            // What is worked is told apart where it stands, and not added up.
            _ if !seen.is_column(&name) => {
                let words =
                    format!("{name} is worked: its groups have counts and no sums. A given of the rows has both.");
                (words, None)
            }
            Some(_) => (String::new(), None),
            None => {
                let (text, told) = groups::text(seen, by, only.as_deref());
                let at = self.sheet + 1;
                let words = format!("{told} The list of groups stands behind this one, and is handed over with it.");
                (words, Some(Change::InsertSheet { at, text: text.into() }))
            }
        };
        if change.is_some() {
            self.joins = true;
            self.apply(format!("group by {name}"), change.into_iter().collect(), None);
        }
        self.ask_rows(|by| {
            by.groups = Some(name);
            by.folded.clear();
        });
        if !words.is_empty() {
            self.say(words, false);
        }
    }

    /// Folds the group under which a line stands, or unfolds it: the chosen line where none is named.
    pub(super) fn fold(&mut self, line: Option<usize>) {
        let Some(plan) = self.plan() else { return };
        let chosen = self.arrangement().map(|arrangement| arrangement.at.line);
        let Some(line) = line.or(chosen) else { return };
        // A row belongs to the next line under a group.
        let group = (line..plan.lines()).find_map(|line| Some((line, plan.group(line)?)));
        let Some((foot, name)) = group.map(|(line, group)| (line, group.name.clone())) else {
            self.say(
                "The rows stand in no groups; Group with sums puts them into some.",
                false,
            );
            return;
        };
        // Folded away, the group stands where its first row stood.
        let first = (plan.heads()..foot).rfind(|line| plan.group(*line).is_some());
        let first = first.map_or(plan.heads(), |line| line + 1);
        if let Some(arrangement) = self.arrangement()
            && (first..=foot).contains(&arrangement.at.line)
        {
            let at = At {
                line: first,
                column: arrangement.at.column,
            };
            arrangement.choose(at, false);
        }
        self.ask_rows(|by| {
            if !by.folded.remove(&name) {
                let _ = by.folded.insert(name);
            }
        });
    }

    /// The columns that are made wider or narrower: those chosen, each by its key and width.
    pub(super) fn widths_chosen(&self) -> Vec<(String, f32)> {
        let Some(picture) = &self.picture else {
            return Vec::new();
        };
        let Some(arrangement) = self.arrangements.get(&picture.name) else {
            return Vec::new();
        };
        let (first, last) = arrangement.range();
        let columns = match arrangement.whole {
            Some(Whole::Columns) => first.column..last.column + 1,
            _ => arrangement.at.column..arrangement.at.column + 1,
        };
        let heads = picture.heads.iter().enumerate().filter(|(at, _)| columns.contains(at));
        heads.map(|(_, head)| (head.key.clone(), head.width)).collect()
    }
}
