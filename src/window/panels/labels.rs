//! Where the labels of a picture stand: beside what they name, and on nothing else.
//!
//! Always: labels lie within the frame and not on one another; one that may be left out is where there is no room for it.
//! Not known here: what they say, how they are drawn.

use eframe::egui::{Pos2, Rect, Vec2, pos2, vec2};

/// A label that looks for a place.
#[derive(Clone, Debug)]
pub struct Wanted {
    /// Where it may stand, with how little each place is liked.
    pub tries: Vec<(Rect, f32)>,
    /// Whether it stands even where it covers a line or another label.
    pub must: bool,
}

/// Points off what is named, nearest first; beyond the first one a thin line leads to the label.
const OFF: [f32; 4] = [4.0, 16.0, 30.0, 46.0];
/// Directions, those that are liked first.
const TO: [(f32, f32); 8] = [
    (0.0, -1.0),
    (-1.0, -1.0),
    (1.0, -1.0),
    (-1.0, 0.0),
    (1.0, 0.0),
    (-1.0, 1.0),
    (1.0, 1.0),
    (0.0, 1.0),
];
/// What a covered point of a line costs.
const COVERED: f32 = 6.0;
/// What one costs that may be left out costs at most.
const ENOUGH: f32 = 40.0;

/// The places around a point.
pub fn around(at: Pos2, size: Vec2) -> Vec<(Rect, f32)> {
    let mut tries = Vec::with_capacity(OFF.len() * TO.len());
    for off in OFF {
        for (liked, (right, down)) in TO.into_iter().enumerate() {
            let middle = at
                + vec2(
                    right * (size.x / 2.0 + off),
                    down * (size.y / 2.0 + off * if right == 0.0 { 1.0 } else { 0.7 }),
                );
            #[allow(clippy::cast_precision_loss)] // Eight.
            let cost = off * 0.5 + liked as f32;
            tries.push((Rect::from_center_size(middle, size), cost));
        }
    }
    tries
}

/// The places at the foot of an upright line, on its one side or the other.
pub fn at_foot(at: Pos2, size: Vec2) -> Vec<(Rect, f32)> {
    let sides = [(2.0, 0.0), (-size.x - 2.0, 1.0)];
    sides
        .into_iter()
        .map(|(right, cost)| {
            let corner = pos2(at.x + right, at.y - size.y - 2.0);
            (Rect::from_min_size(corner, size), cost)
        })
        .collect()
}

/// The places within an upright strip: across it at its top or bottom, or along it where it is narrow.
pub fn inside(strip: Rect, size: Vec2) -> Vec<(Rect, f32)> {
    let (size, least) = if size.x + 6.0 <= strip.width() {
        (size, 0.0)
    } else if size.y <= strip.width() {
        (vec2(size.y, size.x), 3.0)
    } else {
        return Vec::new();
    };
    let room = (strip.height() - size.y - 8.0).max(0.0);
    let down = [0.0, 0.08, 0.16, 1.0, 0.92, 0.25, 0.4, 0.6, 0.8];
    down.into_iter()
        .zip(0_u8..)
        .map(|(down, liked)| {
            let corner = pos2(strip.center().x - size.x / 2.0, strip.top() + 4.0 + room * down);
            (Rect::from_min_size(corner, size), least + f32::from(liked) * 2.0)
        })
        .collect()
}

/// A place for each label in turn, or none. `ink` is what should not be covered.
pub fn placed(frame: Rect, ink: &[Pos2], wanted: &[Wanted]) -> Vec<Option<Rect>> {
    let mut taken: Vec<Rect> = Vec::with_capacity(wanted.len());
    wanted
        .iter()
        .map(|label| {
            let costs = label.tries.iter().map(|(place, liked)| {
                let place = within(frame, *place);
                (place, liked + cost(place, ink, &taken))
            });
            let (place, cost) = costs.min_by(|a, b| a.1.total_cmp(&b.1))?;
            let stands = label.must || cost < ENOUGH;
            stands.then(|| {
                taken.push(place);
                place
            })
        })
        .collect()
}

/// Moved into the frame as far as it sticks out.
fn within(frame: Rect, place: Rect) -> Rect {
    let inside = frame.shrink(2.0);
    let right = (inside.left() - place.left()).max(0.0) - (place.right() - inside.right()).max(0.0);
    let down = (inside.top() - place.top()).max(0.0) - (place.bottom() - inside.bottom()).max(0.0);
    place.translate(vec2(right, down))
}

fn cost(place: Rect, ink: &[Pos2], taken: &[Rect]) -> f32 {
    let wide = place.expand(1.0);
    #[allow(clippy::cast_precision_loss)] // Some hundred points.
    let covered = ink.iter().filter(|point| wide.contains(**point)).count() as f32;
    // A part of another label is worse than any line.
    let on_others: f32 = taken
        .iter()
        .map(|other| other.intersect(wide))
        .filter(|both| both.is_positive())
        .map(|both| 400.0 + both.area())
        .sum();
    covered * COVERED + on_others
}

/// The points of a line, close enough to one another for no label to lie between two of them.
pub fn inked(line: &[Pos2]) -> Vec<Pos2> {
    let mut points = Vec::with_capacity(line.len() * 2);
    for pair in line.windows(2) {
        let [from, to] = pair else { continue };
        #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss)] // The frame is some hundred points wide.
        let steps = (from.distance(*to) / 4.0).ceil().clamp(1.0, 400.0) as u16;
        points.extend((0..steps).map(|step| from.lerp(*to, f32::from(step) / f32::from(steps))));
    }
    points.extend(line.last());
    points
}

/// The corner or side of a label that is nearest to what it names.
pub fn nearest(place: Rect, at: Pos2) -> Pos2 {
    pos2(
        at.x.clamp(place.left(), place.right()),
        at.y.clamp(place.top(), place.bottom()),
    )
}

#[cfg(test)]
#[allow(clippy::indexing_slicing)]
mod tests {
    use super::*;

    const FRAME: Rect = Rect {
        min: Pos2::ZERO,
        max: pos2(300.0, 200.0),
    };

    fn label(at: Pos2, must: bool) -> Wanted {
        Wanted {
            tries: around(at, vec2(60.0, 14.0)),
            must,
        }
    }

    #[test]
    fn labels_lie_within_the_frame_and_not_on_one_another() {
        let points = [
            pos2(150.0, 100.0),
            pos2(152.0, 101.0),
            pos2(0.0, 0.0),
            pos2(300.0, 200.0),
            pos2(148.0, 98.0),
        ];
        let wanted: Vec<Wanted> = points.iter().map(|at| label(*at, true)).collect();
        let placed: Vec<Rect> = placed(FRAME, &[], &wanted).into_iter().flatten().collect();
        assert_eq!(placed.len(), 5);
        for (at, place) in placed.iter().enumerate() {
            assert!(FRAME.contains_rect(*place), "{place:?}");
            for other in placed.iter().skip(at + 1) {
                assert!(!place.intersect(*other).is_positive(), "{place:?} {other:?}");
            }
        }
    }

    #[test]
    fn a_label_stands_off_the_line_it_names() {
        // A line that rises through the point, and one that comes down through it.
        let line = inked(&[pos2(0.0, 200.0), pos2(300.0, 0.0)]);
        let other = inked(&[pos2(0.0, 80.0), pos2(150.0, 100.0), pos2(300.0, 120.0)]);
        let ink: Vec<Pos2> = line.into_iter().chain(other).collect();
        let place = placed(FRAME, &ink, &[label(pos2(150.0, 100.0), true)])[0].unwrap_or(Rect::NOTHING);
        assert!(!ink.iter().any(|point| place.contains(*point)), "{place:?}");
        assert!(nearest(place, pos2(150.0, 100.0)).distance(pos2(150.0, 100.0)) < 40.0);
    }

    #[test]
    fn the_word_of_a_strip_stands_across_or_along_it() {
        let strip = |width: f32| Rect::from_min_size(pos2(10.0, 0.0), vec2(width, 200.0));
        let first = |width: f32| {
            inside(strip(width), vec2(60.0, 14.0))
                .first()
                .map(|(place, _)| place.size())
        };
        assert_eq!(first(80.0), Some(vec2(60.0, 14.0)));
        assert_eq!(first(20.0), Some(vec2(14.0, 60.0)));
        assert_eq!(first(9.0), None);
        for (place, _) in inside(strip(20.0), vec2(60.0, 14.0)) {
            assert!(strip(20.0).contains_rect(place), "{place:?}");
        }
    }

    #[test]
    fn what_has_no_room_is_left_out_unless_it_must_stand() {
        let ink: Vec<Pos2> = (0..300_u16)
            .flat_map(|x| (0..200_u16).step_by(8).map(move |y| pos2(f32::from(x), f32::from(y))))
            .collect();
        let at = pos2(150.0, 100.0);
        let found = placed(FRAME, &ink, &[label(at, false), label(at, true)]);
        assert!(found[0].is_none() && found[1].is_some(), "{found:?}");
    }
}
