//! What each command does. The list of commands with words and keys is in `command`.

use std::sync::Arc;

use eframe::egui;

use super::Window;
use super::dialog::{Next, Purpose};
use crate::language::check::Sort;
use crate::window::clip;
use crate::window::command::Act;
use crate::window::door::Todo;
use crate::window::panels::Panel;
use crate::window::spot::{Field, Seen, Spot, System, fresh};
use crate::workbook::change::{Change, Place};
use crate::workbook::{Form, Role};

/// Changes made by one paste at most.
const MOST_PASTED: usize = 200_000;

impl Window {
    /// Does a command.
    pub(super) fn act(&mut self, ctx: &egui::Context, act: Act) {
        // A command that reads what is chosen ends typing first.
        let keeps = matches!(
            act,
            Act::Night | Act::Larger | Act::Smaller | Act::UsualSize | Act::Keys | Act::Commands
        );
        if self.editing.is_some() && !keeps && !self.commit() {
            return;
        }
        if self.door.session().is_none() {
            self.acts.push(act);
            return;
        }
        match act {
            Act::Start => self.panel = Some(Panel::Start),
            Act::NewWorkbook => self.guarded(Next::New),
            Act::Open => self.guarded(Next::Open),
            Act::Import => self.guarded(Next::Import),
            Act::Save => self.save(),
            Act::SaveAs => self.question_path(Purpose::SaveAs, "pole"),
            Act::Export => self.question_path(Purpose::Export, "xlsx"),
            Act::Close => self.guarded(Next::Close),
            Act::Undo => self.door.ask(Todo::Undo),
            Act::Redo => self.door.ask(Todo::Redo),
            Act::Copy => self.copy(ctx),
            Act::Cut => {
                self.copy(ctx);
                self.clear();
            }
            Act::Paste => ctx.send_viewport_cmd(egui::ViewportCommand::RequestPaste),
            Act::FillDown => self.fill_down(),
            Act::Clear => self.clear(),
            Act::Edit => self.open_place(None, None),
            Act::EditLine => self.open_place(None, Some(Field::Line)),
            Act::Rename => self.open_place(None, Some(Field::Symbol)),
            Act::Role => self.role(),
            Act::Insert => self.insert(false),
            Act::InsertAfter => self.insert(true),
            Act::Delete => self.delete(),
            Act::MoveBack => self.move_line(false),
            Act::MoveOn => self.move_line(true),
            Act::InsertCase => {
                if self.seen().is_some_and(|seen| seen.results.form == Form::Sheet) {
                    self.question(Purpose::NewCase, String::new());
                }
            }
            Act::DeleteCase => self.delete_case(),
            Act::NewSheet => self.new_sheet("sheet work \"Worked sheet\"\n  given x : number\n", "work"),
            Act::NewList => self.new_sheet(
                "list motors \"List\"\n  given tag : text\n  given P_r in kW : shaft power\n  rows tag | P_r\n    \"M-1\" |\n",
                "motors",
            ),
            Act::RenameSheet => {
                let name = self.seen().map_or(String::new(), |seen| seen.sheet.name.to_string());
                self.question(Purpose::SheetName, name);
            }
            Act::DeleteSheet => {
                if let Some(seen) = self.seen() {
                    let change = Change::DeleteSheet {
                        sheet: seen.sheet.name.clone(),
                    };
                    self.apply("delete the sheet", vec![change], None);
                }
            }
            Act::NextSheet => self.turn(1),
            Act::PreviousSheet => self.turn(-1),
            Act::Find => {
                let _ = self.find.get_or_insert_default();
                self.find_fresh = true;
            }
            Act::FindNext => self.find_next(),
            Act::Filter => {
                let text = self.arrangement().and_then(|arrangement| arrangement.filter.clone()).unwrap_or_default();
                self.question(Purpose::Filter, text);
            }
            Act::SortUp => self.order(false),
            Act::SortDown => self.order(true),
            Act::SortNone => {
                let sheet = self.sheet;
                if let Some(arrangement) = self.arrangement() {
                    arrangement.order = None;
                    arrangement.ordered = None;
                    if let Some(filter) = arrangement.filter.take() {
                        self.door.ask(Todo::Filter(sheet, filter));
                    }
                }
            }
            Act::Group => self.group(),
            Act::Hide => self.hide(),
            Act::ShowAll => {
                if let Some(arrangement) = self.arrangement() {
                    arrangement.hidden.clear();
                    arrangement.order = None;
                    arrangement.filter = None;
                    arrangement.ordered = None;
                }
            }
            Act::Pin => self.pin(),
            Act::Wider => self.widen(ctx, 1.25),
            Act::Narrower => self.widen(ctx, 0.8),
            Act::AsWritten => self.system = System::AsWritten,
            Act::InSi => self.system = System::Si,
            Act::InUs => self.system = System::Us,
            Act::Faults => self.toggle(Panel::Faults),
            Act::Checks => self.toggle(Panel::Checks),
            Act::Assumptions => self.toggle(Panel::Assumptions),
            Act::Curves => self.toggle(Panel::Curves),
            Act::Report => self.toggle(Panel::Report),
            Act::Keys => self.toggle(Panel::Keys),
            Act::Commands => {
                self.panel = Some(Panel::Keys);
                self.search_fresh = true;
            }
            Act::Night => ctx.set_theme(if ctx.global_style().visuals.dark_mode {
                egui::Theme::Light
            } else {
                egui::Theme::Dark
            }),
            Act::Larger => ctx.set_zoom_factor((ctx.zoom_factor() * 1.1).min(3.0)),
            Act::Smaller => ctx.set_zoom_factor((ctx.zoom_factor() / 1.1).max(0.5)),
            Act::UsualSize => ctx.set_zoom_factor(1.0),
        }
    }

    fn toggle(&mut self, panel: Panel) {
        self.panel = if self.panel == Some(panel) { None } else { Some(panel) };
    }

    fn question_path(&mut self, purpose: Purpose, ending: &str) {
        let text = self
            .path
            .as_ref()
            .map_or(String::new(), |path| path.with_extension(ending).display().to_string());
        self.question(purpose, text);
    }

    fn save(&mut self) {
        match (self.path.clone(), self.lock.is_some()) {
            (Some(_), true) if self.outside => {
                self.say(
                    "The file was changed outside: load it again, or save under another name.",
                    true,
                );
                self.question_path(Purpose::SaveAs, "pole");
            }
            (Some(path), true) => self.save_to(path),
            _ => self.question_path(Purpose::SaveAs, "pole"),
        }
    }

    fn copy(&mut self, ctx: &egui::Context) {
        let (Some(plan), Some(range)) = (self.plan(), self.arrangement().map(|arrangement| arrangement.range())) else {
            return;
        };
        if let Some(seen) = self.seen() {
            ctx.copy_text(clip::text(seen, &plan, range));
        }
    }

    /// Types what was copied from the chosen place on. Rows that are lacking at the end of a list are made.
    pub(super) fn paste(&mut self, text: &str) {
        let cells = clip::cells(text);
        let (Some(plan), Some((first, last))) =
            (self.plan(), self.arrangement().map(|arrangement| arrangement.range()))
        else {
            return;
        };
        let Some(seen) = self.seen() else { return };
        let mut changes = Vec::new();
        let mut refused: Option<String> = None;
        let mut lost = 0;
        let width = cells.first().map_or(0, Vec::len);
        // One copied place fills all chosen ones.
        let one = cells.len() == 1 && width == 1;
        let lines = if one { last.line - first.line + 1 } else { cells.len() };
        for down in 0..lines {
            let Some(row) = cells.get(if one { 0 } else { down }) else {
                break;
            };
            let line = first.line + down;
            if line >= plan.lines() && seen.results.form == Form::List && plan.order.is_none() && line >= plan.heads() {
                changes.push(Change::InsertRow {
                    list: seen.sheet.name.clone(),
                    at: line - plan.heads(),
                    text: empty_row(seen).into(),
                });
            }
            let columns = if one { last.column - first.column + 1 } else { row.len() };
            for right in 0..columns {
                let Some(text) = row.get(if one { 0 } else { right }) else {
                    break;
                };
                let at = crate::window::arrange::At {
                    line,
                    column: first.column + right,
                };
                let spot = plan.spot(at).or_else(|| new_row_spot(seen, &plan, at));
                match spot {
                    Some(spot) => match seen.change(spot, text) {
                        Ok(made) => changes.extend(made),
                        Err(why) => refused = Some(why),
                    },
                    None => lost += 1,
                }
                if changes.len() > MOST_PASTED {
                    self.say(
                        format!("This is more than {MOST_PASTED} values; paste it in parts."),
                        true,
                    );
                    return;
                }
            }
        }
        if let Some(why) = refused {
            self.say(format!("Nothing was pasted: {why}"), true);
            return;
        }
        if lost > 0 {
            self.say(
                format!("{lost} values found no place beside the last column and were not pasted."),
                true,
            );
        }
        self.apply("paste", changes, None);
    }

    fn chosen_spots(&mut self) -> Vec<Spot> {
        let (Some(plan), Some((first, last))) =
            (self.plan(), self.arrangement().map(|arrangement| arrangement.range()))
        else {
            return Vec::new();
        };
        let mut out = Vec::new();
        for line in first.line..=last.line {
            for column in first.column..=last.column {
                out.extend(plan.spot(crate::window::arrange::At { line, column }));
            }
        }
        out
    }

    /// The quantities among the chosen places, each once, in order.
    fn chosen_quantities(&mut self) -> Vec<usize> {
        let mut out: Vec<usize> = self.chosen_spots().into_iter().map(|spot| spot.quantity).collect();
        out.sort_unstable();
        out.dedup();
        out
    }

    /// The rows among the chosen places of a list.
    fn chosen_rows(&mut self) -> Vec<usize> {
        let mut out: Vec<usize> = self
            .chosen_spots()
            .into_iter()
            .filter_map(|spot| match spot.field {
                Field::Value(item) => Some(item),
                _ => None,
            })
            .collect();
        out.sort_unstable();
        out.dedup();
        out
    }

    fn clear(&mut self) {
        let spots = self.chosen_spots();
        let Some(seen) = self.seen() else { return };
        let made: Result<Vec<Vec<Change>>, String> = spots.iter().map(|spot| seen.change(*spot, "")).collect();
        match made {
            Ok(made) => self.apply("empty", made.into_iter().flatten().collect(), None),
            Err(why) => self.say(why, true),
        }
    }

    fn fill_down(&mut self) {
        let (Some(plan), Some((first, last))) =
            (self.plan(), self.arrangement().map(|arrangement| arrangement.range()))
        else {
            return;
        };
        let Some(seen) = self.seen() else { return };
        let mut changes = Vec::new();
        for column in first.column..=last.column {
            let top = crate::window::arrange::At {
                line: first.line,
                column,
            };
            let Some(text) = plan.spot(top).map(|spot| seen.typed(spot)) else {
                continue;
            };
            for line in first.line + 1..=last.line {
                let Some(spot) = plan.spot(crate::window::arrange::At { line, column }) else {
                    continue;
                };
                match seen.change(spot, &text) {
                    Ok(made) => changes.extend(made),
                    Err(why) => {
                        self.say(why, true);
                        return;
                    }
                }
            }
        }
        self.apply("fill down", changes, None);
    }

    fn role(&mut self) {
        let Some((_, spot)) = self.chosen() else { return };
        let Some(seen) = self.seen() else { return };
        let Some(quantity) = seen.quantity(spot.quantity) else {
            return;
        };
        let Some((at, line)) = seen.line(&quantity.name) else {
            return;
        };
        let (from, to) = match quantity.role {
            Role::Given => ("given", "work"),
            Role::Work => ("work", "given"),
            Role::Seek => {
                self.say("A sought quantity has an equation; type its whole line.", true);
                return;
            }
        };
        let Some(rest) = line.text.strip_prefix(from) else {
            return;
        };
        let change = Change::SetLine {
            place: Place::Line(seen.at, at),
            text: format!("{to}{rest}").into(),
        };
        self.apply(format!("make it {to}"), vec![change], None);
    }

    fn insert(&mut self, after: bool) {
        let Some((_, spot)) = self.chosen() else {
            // An empty sheet has no place to choose.
            self.insert_quantity(None, after);
            return;
        };
        let is_row = matches!(spot.field, Field::Value(_));
        match (self.seen().map(|seen| seen.results.form), is_row) {
            (Some(Form::List), true) => self.insert_row(spot, after),
            _ => self.insert_quantity(Some(spot), after),
        }
    }

    fn insert_row(&mut self, spot: Spot, after: bool) {
        let Field::Value(item) = spot.field else { return };
        let Some(seen) = self.seen() else { return };
        let at = item + usize::from(after);
        let change = Change::InsertRow {
            list: seen.sheet.name.clone(),
            at,
            text: empty_row(seen).into(),
        };
        self.apply("insert a row", vec![change], None);
        if after {
            self.step(1, 0, false);
        }
    }

    fn insert_quantity(&mut self, spot: Option<Spot>, after: bool) {
        let Some(seen) = self.seen() else { return };
        let known = |name: &str| seen.results.quantities.iter().any(|quantity| &*quantity.name == name);
        let name = fresh("x", known);
        let line = spot
            .and_then(|spot| seen.quantity(spot.quantity))
            .and_then(|quantity| seen.line(&quantity.name))
            .map(|(at, _)| at + usize::from(after));
        let change = Change::InsertLine {
            place: Place::Line(seen.at, line.unwrap_or(seen.sheet.lines.len())),
            before: "".into(),
            text: format!("given {name} : number").into(),
        };
        let is_list = seen.results.form == Form::List;
        self.apply("insert a quantity", vec![change], None);
        if after && spot.is_some() {
            if is_list {
                self.step(0, 1, false)
            } else {
                self.step(1, 0, false)
            }
        }
    }

    fn delete(&mut self) {
        let is_list = self.seen().is_some_and(|seen| seen.results.form == Form::List);
        let rows = if is_list { self.chosen_rows() } else { Vec::new() };
        let quantities = self.chosen_quantities();
        let Some(seen) = self.seen() else { return };
        let list = seen.sheet.name.clone();
        if !rows.is_empty() {
            let changes = rows.iter().rev().map(|row| Change::DeleteRow {
                list: list.clone(),
                row: *row,
            });
            self.apply("delete rows", changes.collect(), None);
            return;
        }
        let mut lines: Vec<usize> = quantities
            .iter()
            .filter_map(|at| seen.quantity(*at))
            .filter_map(|quantity| seen.line(&quantity.name))
            .map(|(at, _)| at)
            .collect();
        lines.sort_unstable();
        let changes = lines.iter().rev().map(|line| Change::DeleteLine {
            place: Place::Line(seen.at, *line),
        });
        let changes = changes.collect();
        self.apply("delete quantities", changes, None);
    }

    fn move_line(&mut self, on: bool) {
        let Some((_, spot)) = self.chosen() else { return };
        let Some(plan) = self.plan() else { return };
        let Some(seen) = self.seen() else { return };
        if let (Form::List, Field::Value(item)) = (seen.results.form, spot.field) {
            if plan.order.is_some() {
                self.say("Rows are moved in the order of the list; show it so first.", true);
                return;
            }
            let to = if on { item + 1 } else { item.wrapping_sub(1) };
            if to < plan.items {
                let change = Change::MoveRow {
                    list: seen.sheet.name.clone(),
                    row: item,
                    to,
                };
                self.apply("move the row", vec![change], None);
                self.step(if on { 1 } else { -1 }, 0, false);
            }
            return;
        }
        let neighbour = if on {
            spot.quantity.checked_add(1)
        } else {
            spot.quantity.checked_sub(1)
        };
        let line = |at: usize| {
            seen.quantity(at)
                .and_then(|quantity| seen.line(&quantity.name))
                .map(|(at, _)| at)
        };
        if let (Some(from), Some(to)) = (line(spot.quantity), neighbour.and_then(line)) {
            let change = Change::MoveLine {
                place: Place::Line(seen.at, from),
                to,
            };
            let is_list = seen.results.form == Form::List;
            self.apply("move the quantity", vec![change], None);
            let step = if on { 1 } else { -1 };
            if is_list {
                self.step(0, step, false)
            } else {
                self.step(step, 0, false)
            }
        }
    }

    fn delete_case(&mut self) {
        let Some((_, spot)) = self.chosen() else { return };
        let Some(seen) = self.seen() else { return };
        if let (Form::Sheet, Field::Value(case)) = (seen.results.form, spot.field) {
            let change = Change::DeleteCase {
                sheet: seen.sheet.name.clone(),
                case,
            };
            self.apply("delete the case", vec![change], None);
        } else {
            self.say("Choose a value of the case first.", true);
        }
    }

    fn new_sheet(&mut self, text: &str, base: &str) {
        let Some(session) = self.door.session() else { return };
        let sheets = &session.workbook().sheets;
        let name = fresh(base, |name| sheets.iter().any(|sheet| &*sheet.name == name));
        let at = (self.sheet + 1).min(sheets.len());
        let change = Change::InsertSheet {
            at,
            text: text.replacen(base, &name, 1).into(),
        };
        self.apply("new sheet", vec![change], None);
        self.turn_to = Some(at);
    }

    fn turn(&mut self, by: isize) {
        let last = self.contents.len().saturating_sub(1);
        self.sheet = self.sheet.saturating_add_signed(by).min(last);
        self.refresh();
    }

    /// Goes to the next place with the text, over all sheets, from the chosen one on.
    pub(super) fn find_next(&mut self) {
        let Some(wanted) = self
            .find
            .as_ref()
            .map(|text| text.trim().to_lowercase())
            .filter(|text| !text.is_empty())
        else {
            return;
        };
        let Some(session) = self.door.session() else { return };
        let sheets = session.results().sheets.len();
        let from = self.chosen();
        let mut found = None;
        for step in 0..=sheets {
            let at = (self.sheet + step) % sheets.max(1);
            let Some(seen) = Seen::of(session, at) else { continue };
            let after = from
                .filter(|(sheet, _)| *sheet == at && step == 0)
                .map(|(_, spot)| spot);
            found = find_in(seen, &wanted, after, self.system);
            if found.is_some() {
                break;
            }
        }
        match found {
            Some((sheet, spot)) => self.go_now(sheet, spot),
            None => self.say(format!("Nothing here holds: {wanted}"), false),
        }
    }

    fn order(&mut self, largest_first: bool) {
        let sheet = self.sheet;
        let Some((_, spot)) = self.chosen() else { return };
        if self.seen().is_none_or(|seen| seen.results.form == Form::Sheet) {
            self.say("Only the rows of a list can be ordered.", false);
            return;
        }
        let among = self
            .arrangement()
            .and_then(|arrangement| arrangement.order.as_ref())
            .map(|(_, order)| order.to_vec());
        self.door.ask(Todo::Order(sheet, spot.quantity, largest_first, among));
    }

    /// A list with one row for each value of the chosen quantity, worked by the language.
    fn group(&mut self) {
        let Some((_, spot)) = self.chosen() else { return };
        let Some(seen) = self.seen() else { return };
        let Some(by) = seen.quantity(spot.quantity).filter(|_| seen.results.form == Form::List) else {
            self.say("Choose a quantity of a list to group by.", true);
            return;
        };
        let list = &seen.sheet.name;
        let sheets = &seen.session.workbook().sheets;
        let name = fresh(&format!("{list}_by_{}", by.name), |name| {
            sheets.iter().any(|sheet| &*sheet.name == name)
        });
        let mut text = format!("list {name} = groups of {list} by {}\n", by.name);
        let this = format!("where {list}.{by} = here.{by}", by = by.name);
        text.push_str(&format!("  work number_of_rows = count({list} {this})\n"));
        for quantity in &seen.results.quantities {
            let Sort::Quantity { unit, kind, .. } = &quantity.sort else {
                continue;
            };
            // Only what adds up is added: powers, energies, money, masses.
            let adds = kind.is_some_and(|kind| {
                use crate::quantity::Family;
                matches!(
                    kind.family(),
                    Family::Power { .. }
                        | Family::Energy
                        | Family::Cost
                        | Family::Mass
                        | Family::ApparentPower
                        | Family::ReactivePower
                )
            });
            if adds && quantity.name != by.name {
                let q = &quantity.name;
                text.push_str(&format!(
                    "  work {q}_sum = sum({q} for {list} {this}) in {}\n",
                    unit.text
                ));
            }
        }
        let at = self.sheet + 1;
        let label = format!("group by {}", by.name);
        self.apply(label, vec![Change::InsertSheet { at, text: text.into() }], None);
        self.turn_to = Some(at);
    }

    fn hide(&mut self) {
        let quantities = self.chosen_quantities();
        let Some(seen) = self.seen() else { return };
        let names: Vec<Arc<str>> = quantities
            .iter()
            .filter_map(|at| seen.quantity(*at))
            .map(|quantity| quantity.name.clone())
            .collect();
        let all = seen.results.quantities.len();
        if let Some(arrangement) = self.arrangement()
            && arrangement.hidden.len() + names.len() < all
        {
            arrangement.hidden.extend(names);
            arrangement.from = arrangement.at;
        }
    }

    fn pin(&mut self) {
        let usual = self.picture.as_ref().map_or(1, |picture| picture.pinned);
        if let Some(arrangement) = self.arrangement() {
            let wanted = arrangement.at.column + 1;
            arrangement.pinned = Some(if usual == wanted { 0 } else { wanted });
        }
    }

    fn widen(&mut self, ctx: &egui::Context, by: f32) {
        let Some(picture) = &self.picture else { return };
        let widths: Vec<(String, f32)> = picture
            .heads
            .iter()
            .map(|head| (head.key.clone(), head.width))
            .collect();
        if let Some(arrangement) = self.arrangement()
            && let Some((key, width)) = widths.get(arrangement.at.column).cloned()
        {
            let _ = arrangement.widths.insert(key, (width * by).clamp(36.0, 900.0));
            ctx.data_mut(|data| {
                let set: &mut u32 = data.get_temp_mut_or_default(egui::Id::unique("widths set"));
                *set = set.wrapping_add(1);
            });
        }
    }
}

/// The text of a row without values.
fn empty_row(seen: Seen<'_>) -> String {
    let columns = seen.sheet.rows.as_ref().map_or(1, |rows| rows.columns.len());
    vec![""; columns.max(1)].join(" | ")
}

/// A place in a row that a paste makes at the end of a list.
fn new_row_spot(seen: Seen<'_>, plan: &crate::window::arrange::Plan, at: crate::window::arrange::At) -> Option<Spot> {
    if seen.results.form != Form::List || plan.order.is_some() || at.line < plan.lines() {
        return None;
    }
    Some(Spot {
        quantity: *plan.quantities.get(at.column)?,
        field: Field::Value(at.line - plan.heads()),
    })
}

/// The first place of a sheet, after one, that holds a text.
fn find_in(seen: Seen<'_>, wanted: &str, after: Option<Spot>, system: System) -> Option<(usize, Spot)> {
    let items = seen.results.items.len();
    let holds = |spot: Spot| seen.shown(spot, system, false).text.to_lowercase().contains(wanted);
    let quantities = 0..seen.results.quantities.len();
    let heads = quantities
        .clone()
        .flat_map(|quantity| [Field::Label, Field::Symbol].map(|field| Spot { quantity, field }));
    let values = (0..items).flat_map(|item| {
        quantities.clone().map(move |quantity| Spot {
            quantity,
            field: Field::Value(item),
        })
    });
    let mut all = heads.chain(values);
    if let Some(after) = after {
        let known = matches!(after.field, Field::Label | Field::Symbol | Field::Value(_));
        if known {
            let _ = all.by_ref().find(|spot| *spot == after);
        }
    }
    all.find(|spot| holds(*spot)).map(|spot| (seen.at, spot))
}
