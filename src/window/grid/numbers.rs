//! Numbers of a column of a list stand point under point, without a digit more than is known.
//! In a sheet each line has a unit of its own: there the edge is what they share.
//!
//! Always: no text is changed; a number with fewer places behind its point only stands further from the edge, as if the places
//! it lacks were blank.
//! Not known here: how a number is rounded.

use eframe::egui::{FontId, Ui};

use super::reading::{Line, Picture};
use crate::window::look::{SIZE, State};
use crate::window::spot::Shown;
use crate::workbook::Form;

/// A plain number before its point and from it on; `None` for any other text.
pub(super) fn split(text: &str) -> Option<(&str, &str)> {
    let at = text.find('.').unwrap_or(text.len());
    let (front, back) = text.split_at_checked(at)?;
    let unsigned = front.strip_prefix(['-', '−']).unwrap_or(front);
    let is_group = |letter: char| letter.is_ascii_digit() || matches!(letter, ' ' | '\u{a0}' | '\u{2009}' | '\u{202f}');
    let plain = unsigned.starts_with(|letter: char| letter.is_ascii_digit())
        && unsigned.chars().all(is_group)
        && back.chars().skip(1).all(is_group);
    plain.then_some((front, back))
}

/// How wide the signs of a number are in a type.
#[derive(Clone, Copy, Debug, Default)]
struct Signs {
    digit: f32,
    point: f32,
}

impl Signs {
    fn of(ui: &Ui, font: &FontId) -> Signs {
        ui.fonts_mut(|fonts| Signs {
            digit: fonts.glyph_width(font, '0'),
            point: fonts.glyph_width(font, '.'),
        })
    }

    /// How wide a number is from its point on.
    fn tail(self, shown: &Shown) -> Option<f32> {
        let (_, back) = split(&shown.text).filter(|_| shown.right && shown.band.is_empty())?;
        let places = back.chars().filter(char::is_ascii_digit).count();
        #[allow(clippy::cast_precision_loss)] // A few digits.
        let places = places as f32 * self.digit;
        Some(if back.is_empty() { 0.0 } else { self.point + places })
    }
}

/// Where the points of the numbers in sight stand.
#[derive(Clone, Debug, Default)]
pub(super) struct Points {
    /// By the states that numbers are set in.
    signs: Vec<(State, Signs)>,
    /// How far the points of each column of a list stand from the edge; of a sheet none is known.
    tails: Vec<f32>,
}

impl Points {
    /// Of a picture.
    pub(super) fn of(ui: &Ui, picture: &Picture) -> Points {
        let signs = State::ALL.map(|state| (state, Signs::of(ui, &state.font(SIZE))));
        let mut points = Points {
            signs: signs.to_vec(),
            tails: Vec::new(),
        };
        if picture.form == Form::Sheet {
            return points;
        }
        let widest = |tails: &mut dyn Iterator<Item = f32>| tails.fold(0.0_f32, f32::max);
        let heads = picture.plan.heads();
        let lines = || picture.lines.iter().filter(|line| line.line >= heads);
        points.tails = (0..picture.heads.len())
            .map(|column| {
                let cells = lines().filter_map(|line| points.own(line, line.cells.get(column)?));
                widest(&mut cells.into_iter())
            })
            .collect();
        points
    }

    fn own(&self, line: &Line, shown: &Shown) -> Option<f32> {
        // Sums of a group are set as typed values are.
        let wanted = if line.group.is_some() {
            State::Typed
        } else {
            shown.state
        };
        let (_, signs) = self.signs.iter().find(|(state, _)| *state == wanted)?;
        signs.tail(shown)
    }

    /// How far a number stands from the edge, for the places it lacks.
    pub(super) fn lacks(&self, column: usize, line: &Line, shown: &Shown) -> f32 {
        match (self.tails.get(column), self.own(line, shown)) {
            (Some(tail), Some(own)) => (tail - own).max(0.0),
            _ => 0.0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn plain_numbers_are_told_from_other_texts() {
        assert_eq!(split("944.1"), Some(("944", ".1")));
        assert_eq!(split("1 011"), Some(("1 011", "")));
        assert_eq!(split("-0.02"), Some(("-0", ".02")));
        for text in ["", "75 hp", "1.2e-5", "a.b", ".5", "n. a.", "1.5 · 10³", "no"] {
            assert_eq!(split(text), None, "{text}");
        }
    }
}
