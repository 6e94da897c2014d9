//! The menu on the right button: only what acts where it was opened.
//!
//! Always: every entry is a command of the one list, with its keys.
//! Not known here: what a command does.

use eframe::egui::{Button, Response, Ui};

use super::reading::Picture;
use super::{Done, Drawn};
use crate::window::arrange::At;
use crate::window::command::{self, Act};
use crate::window::spot::{Field, NEW};
use crate::workbook::{Form, Role};

/// Where the menu was opened.
#[derive(Clone, Copy, Debug)]
pub(super) enum Over {
    /// Over a place.
    Place(At),
    /// Over the heading of a column.
    Column(usize),
    /// Over the margin of a line.
    Line(usize),
}

const TYPE: &[Act] = &[Act::Edit, Act::EditLine];
const CARRY: &[Act] = &[Act::Cut, Act::Copy, Act::Paste, Act::Clear];
const PLACES: &[Act] = &[
    Act::Insert,
    Act::InsertAfter,
    Act::CopyLines,
    Act::MoveBack,
    Act::MoveOn,
    Act::Delete,
];
const CASES: &[Act] = &[
    Act::RenameCase,
    Act::CopyCase,
    Act::CaseBack,
    Act::CaseOn,
    Act::DeleteCase,
];
const ROWS: &[Act] = &[Act::SortUp, Act::SortDown, Act::SortNone, Act::Filter, Act::Group];
const WIDTHS: &[Act] = &[Act::Hide, Act::Pin, Act::Wider, Act::Narrower];

/// What is offered, in groups, and what the commands act on.
fn offered(picture: &Picture, over: Over) -> (Vec<Vec<Act>>, &'static str) {
    let plan = &picture.plan;
    let at = match over {
        Over::Place(at) => at,
        Over::Column(column) => At {
            line: plan.heads(),
            column,
        },
        Over::Line(line) => At { line, column: 0 },
    };
    let spot = plan.spot(at);
    let list = picture.form == Form::List;
    // Behind the last line there is nothing yet.
    if list && plan.is_open(at.line) && !matches!(over, Over::Column(_)) {
        return (vec![vec![Act::Edit, Act::Paste]], "row");
    }
    if spot.is_some_and(|spot| spot.quantity == NEW) {
        return (vec![vec![Act::Edit, Act::Paste], vec![Act::InsertCase]], "line");
    }
    let case = match (over, plan.fields.get(at.column)) {
        (Over::Line(_), _) => false,
        (_, field) => matches!(field, Some(Field::Value(_))),
    };
    let named = case && picture.is_named(at.column);
    // In a list a place is of a row or of a heading; a line of a sheet, a column of a list is a quantity.
    let row = list
        && match over {
            Over::Place(at) => at.line >= plan.heads(),
            Over::Line(_) => true,
            Over::Column(_) => false,
        };
    let quantity = !row && (list || !matches!(over, Over::Column(_)));
    let given_or_worked = match picture.role(at) {
        Some(Role::Given | Role::Work) => quantity,
        _ => false,
    };
    let ordered = plan.order.is_some();
    let acts = |from: &[Act], keep: &dyn Fn(Act) -> bool| from.iter().copied().filter(|act| keep(*act)).collect();
    let typed = matches!(over, Over::Place(_)) || list && matches!(over, Over::Column(_));
    let mut groups: Vec<Vec<Act>> = vec![
        acts(TYPE, &|act| match act {
            Act::Edit => matches!(over, Over::Place(_)),
            _ => typed,
        }),
        acts(CARRY, &|_| true),
        acts(&[Act::FillDown], &|_| picture.several),
        acts(&[Act::Rename], &|_| quantity),
        acts(&[Act::Role], &|_| given_or_worked),
        acts(PLACES, &|act| match act {
            Act::CopyLines => quantity && !list || row && !ordered,
            Act::MoveBack | Act::MoveOn => quantity || row && !ordered,
            _ => quantity || row,
        }),
        acts(&[Act::InsertCase], &|_| !list),
        acts(CASES, &|_| named),
        acts(ROWS, &|act| match act {
            Act::SortNone => list && ordered,
            _ => list && !matches!(over, Over::Line(_)),
        }),
        acts(WIDTHS, &|act| match act {
            // Rows are not hidden one by one, nor are cases.
            Act::Hide => quantity || list && !matches!(over, Over::Line(_)),
            Act::Pin => !matches!(over, Over::Line(_)),
            _ => matches!(over, Over::Column(_)),
        }),
    ];
    groups.retain(|group: &Vec<Act>| !group.is_empty());
    // What belongs together stands together.
    let mut made: Vec<Vec<Act>> = Vec::new();
    for group in groups {
        match made.last_mut() {
            Some(last) if last.len() + group.len() <= 5 && group.len() < 3 => last.extend(group),
            _ => made.push(group),
        }
    }
    let what = match (row, list, picture.several) {
        (true, _, false) => "row",
        (true, _, true) => "rows",
        (false, true, false) => "column",
        (false, true, true) => "columns",
        (false, false, false) => "line",
        (false, false, true) => "lines",
    };
    (made, what)
}

/// Draws the menu while it is open; what was pressed is chosen first, where it is not yet.
pub(super) fn draw(
    response: &Response,
    picture: &Picture,
    over: Over,
    drawn: &mut Drawn,
    chooses: impl FnOnce() -> Option<Done>,
) {
    let _ = response.context_menu(|ui| {
        drawn.done.extend(chooses());
        let (groups, what) = offered(picture, over);
        drawn.done.extend(commands(ui, &groups, what).map(Done::Ask));
    });
}

/// Draws commands in groups, in words for what they act on; the one that was pressed.
pub fn commands<G: AsRef<[Act]>>(ui: &mut Ui, groups: &[G], what: &str) -> Option<Act> {
    let mut pressed = None;
    for (index, group) in groups.iter().enumerate() {
        if index > 0 {
            let _ = ui.separator();
        }
        for command in group.as_ref().iter().copied().filter_map(command::of) {
            let mut button = Button::new(command::word_for(command, what));
            if let Some(keys) = &command.keys {
                button = button.shortcut_text(command::keys(keys));
            }
            if ui.add(button).on_hover_text(command.help).clicked() {
                pressed = Some(command.act);
                ui.close();
            }
        }
    }
    pressed
}
