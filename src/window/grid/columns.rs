//! Which columns are pinned, and how far the others are scrolled.
//!
//! Always: a whole column stands at the pinned edge; a number that is cut there would read as another one.
//! Not known here: what stands in the columns.

use eframe::egui::{self, Id, Ui};

use super::reading::{Picture, VALUE};
use super::widths::CASE;
use crate::window::arrange::Arrangement;
use crate::window::spot::Field;
use crate::workbook::Form;

/// How many of the pinned columns are kept in sight, and their width with the gutter: as many as leave room for the others. The
/// rest is scrolled with these, so that every column can be brought into sight.
pub(super) fn pinned(picture: &Picture, gutter: f32, room: f32) -> (usize, f32) {
    let mut width = gutter;
    let mut count = 0;
    for head in picture.heads.iter().take(picture.pinned) {
        // Beside them a value is in sight as a whole: of a list any, of a sheet that of a case.
        let others = picture.heads.iter().skip(count + 1);
        let others = others.filter(|head| picture.form == Form::List || head.key.starts_with(CASE));
        let beside = others.map(|head| head.width).fold(0.0_f32, f32::max).min(VALUE);
        if width + head.width > room * MOST_PINNED || width + head.width + beside > room {
            break;
        }
        width += head.width;
        count += 1;
    }
    (count, width)
}

/// The share of the width that pinned columns take at most.
pub(super) const MOST_PINNED: f32 = 0.7;

/// Where it is remembered how far the columns are scrolled.
pub(super) fn columns_offset(own: (usize, u64)) -> Id {
    Id::unique(("columns offset", own))
}

/// Where the columns that are scrolled begin, and what is in sight of them: whole columns stand at the pinned edge, as a number
/// that is cut there reads as another one.
pub(super) struct Ends {
    /// Which of all columns is the first.
    pinned: usize,
    /// Where each begins, and where the last one ends.
    at: Vec<f32>,
    /// What is in sight.
    width: f32,
}

impl Ends {
    pub(super) fn of(picture: &Picture, pinned: usize, width: f32) -> Ends {
        let mut end = 0.0;
        let mut at = vec![0.0];
        for head in picture.heads.iter().skip(pinned) {
            end += head.width;
            at.push(end);
        }
        Ends { pinned, at, width }
    }

    /// How many columns lie behind the pinned ones.
    pub(super) fn behind(&self, offset: f32) -> usize {
        let ends = self.at.iter().skip(1);
        ends.take_while(|end| **end <= offset + 0.5).count()
    }

    /// Where a column begins and ends.
    pub(super) fn column(&self, column: usize) -> Option<(f32, f32)> {
        let at = column.checked_sub(self.pinned)?;
        Some((*self.at.get(at)?, *self.at.get(at + 1)?))
    }

    /// The first column that begins there or further on, where the last one is in sight at the latest.
    pub(super) fn from(&self, offset: f32) -> f32 {
        let begins = self.at.iter().rev().skip(1).rev();
        let last = begins.clone().next_back().copied().unwrap_or(0.0);
        begins.copied().find(|begin| *begin >= offset - 0.5).unwrap_or(last)
    }

    /// The last column that begins there or before.
    pub(super) fn before(&self, offset: f32) -> f32 {
        let begins = self.at.iter().copied();
        begins.take_while(|begin| *begin <= offset + 0.5).last().unwrap_or(0.0)
    }

    /// How far the columns can be scrolled: until the last one is in sight, with a whole one at the edge.
    pub(super) fn most(&self) -> f32 {
        let end = self.at.last().copied().unwrap_or(0.0);
        if end <= self.width {
            0.0
        } else {
            self.from(end - self.width)
        }
    }

    /// The width that lets them be scrolled so far.
    pub(super) fn content(&self) -> f32 {
        let end = self.at.last().copied().unwrap_or(0.0);
        match self.most() {
            0.0 => end,
            most => end.max(most + self.width),
        }
    }
}

/// Whether the column of units is in sight as a whole beside values that say theirs themselves.
pub(super) fn says_units_twice(ui: &Ui, picture: &Picture, ends: &Ends) -> bool {
    let is_unit = |field: &Field| *field == Field::Unit;
    let Some(unit) = picture
        .plan
        .fields
        .iter()
        .position(is_unit)
        .filter(|_| picture.units_beside.is_some())
    else {
        return false;
    };
    let now = scrolled(ui, picture);
    let in_sight = |(start, end): (f32, f32)| start >= now - 0.5 && end <= now + ends.width + 0.5;
    unit < ends.pinned || ends.column(unit).is_some_and(in_sight)
}

/// Where the columns have to be scrolled to so that the chosen one is in sight; only right after the choice moved or the
/// grid became narrower or wider.
pub(super) fn into_sight(ui: &Ui, picture: &Picture, arrangement: &mut Arrangement, ends: &Ends) -> Option<f32> {
    let seen = Id::unique(("chosen column", picture.own()));
    let before: Option<(usize, f32, f32)> = ui.data(|data| data.get_temp(seen));
    let chosen = arrangement.at.column;
    let place = ends.column(chosen);
    // Other columns may become narrower for it only after the grid did.
    let looked = (chosen, ends.width, place.map_or(0.0, |(start, _)| start));
    let to_start = std::mem::take(&mut arrangement.to_start);
    if before == Some(looked) && !to_start {
        return None;
    }
    ui.data_mut(|data| data.insert_temp(seen, looked));
    // Who goes to the beginning sees the first columns beside those that stay.
    if to_start && place.is_none_or(|(_, end)| end <= ends.width) {
        ui.data_mut(|data| data.insert_temp(rest_offset(picture.own()), 0.0_f32));
        return Some(0.0);
    }
    let before = before.map(|(column, width, _)| (column, width));
    // Who draws a column wider looks where it is drawn.
    if before == Some((chosen, ends.width)) && ui.input(|input| input.pointer.any_down()) {
        return None;
    }
    let grew = before.is_some_and(|(column, width)| column == chosen && width + 0.5 < ends.width);
    let before = before.map_or(0, |(column, _)| column);
    let (start, end) = place?;
    let now = scrolled(ui, picture);
    let to = if grew && end <= ends.width {
        // What went behind the pinned columns for want of room comes back with it.
        0.0
    } else if start < now || before < ends.pinned && start == 0.0 {
        start
    } else if end > now + ends.width {
        ends.from(end - ends.width).min(start)
    } else {
        return None;
    };
    ui.data_mut(|data| data.insert_temp(rest_offset(picture.own()), to));
    Some(to)
}

/// Where the columns come to rest once nobody moves them: on in the way they went, with a whole one at the pinned edge.
pub(super) fn at_rest(ui: &Ui, picture: &Picture, ends: &Ends) -> Option<f32> {
    let moves = ui.input(|input| input.pointer.any_down() || input.smooth_scroll_delta() != egui::Vec2::ZERO);
    if moves {
        return None;
    }
    let id = rest_offset(picture.own());
    let rested: f32 = ui.data(|data| data.get_temp(id)).unwrap_or(0.0);
    let now = scrolled(ui, picture);
    let to = if now > rested {
        ends.from(now).min(ends.most())
    } else {
        ends.before(now)
    };
    ui.data_mut(|data| data.insert_temp(id, to));
    ((to - now).abs() > 0.5).then_some(to)
}

pub(super) fn scrolled(ui: &Ui, picture: &Picture) -> f32 {
    let offset = columns_offset(picture.own());
    ui.data(|data| data.get_temp(offset)).unwrap_or(0.0)
}

/// Where it is remembered how far they were scrolled when they came to rest.
pub(super) fn rest_offset(own: (usize, u64)) -> Id {
    Id::unique(("columns at rest", own))
}
