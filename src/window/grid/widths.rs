//! How wide columns are where nobody has drawn them: as wide as what stands in them, within limits.
//!
//! The rule: a sheet that comes into sight, or into which several lines come at once, has columns as wide as what stands in them, and
//! no width becomes smaller by that. While somebody works in it, a width grows only for what cannot be read otherwise: a number that
//! would not be shown, a symbol, a unit, the name of a row. Words that are cut, formulas and limits are read in the working
//! line and where the pointer rests; they move no column. Nothing grows while a button is held or a text is open (`app/frame`).
//! Always: of a long list a few rows are looked at, spread over all of it; a column that has its width is not looked at again
//! unless the list is short.
//! Not known here: widths that a user has chosen; drawing.

use std::collections::BTreeMap;

use eframe::egui::FontId;

use super::columns::MOST_PINNED;
use super::reading::{GUTTER, Head, VALUE, key};
use super::{BAR, numbers};
use crate::window::arrange::{Arrangement, Plan};
use crate::window::look::{self, SIZE, State};
use crate::window::spot::{Field, Seen, Shown, Spot};
use crate::workbook::Form;

/// Rows of a list, or lines of a sheet, that are looked at.
const LOOKED_AT: usize = 60;

/// Limits of a width.
struct Limits {
    least: f32,
    most: f32,
}

/// How wide a text is in a type.
pub type Measure<'a> = &'a mut dyn FnMut(&str, FontId) -> f32;

/// For what a column is made wide.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum For {
    /// For all that stands in it.
    All,
    /// For what cannot be read otherwise.
    Unreadable,
}

/// Makes columns as wide as what stands in them; those that have a width already as `made_for` says.
pub fn fit(seen: Seen<'_>, plan: &Plan, made_for: For, known: &mut BTreeMap<String, f32>, measure: Measure<'_>) {
    let rows = match plan.form {
        Form::Sheet => plan.quantities.len(),
        Form::List => plan.items,
    };
    let short = rows <= LOOKED_AT;
    for column in 0..plan.columns() {
        let key = key(seen, plan, column);
        let before = known.get(&key).copied();
        if before.is_some() && !short {
            continue;
        }
        // A column that is new has all of it.
        let made_for = before.map_or(For::All, |_| made_for);
        let width = width(seen, plan, (column, made_for), rows, measure).max(before.unwrap_or(0.0));
        match plan.fields.get(column) {
            Some(Field::Value(_)) => fit_close(seen, plan, (column, &key, made_for), known, measure),
            Some(Field::Label) if made_for == For::All => fit_labels(seen, plan, &key, known, measure),
            _ => {}
        }
        let _ = known.insert(key, width);
    }
}

/// The least that a case takes, and that its units take where they stand beside its values.
fn fit_close(
    seen: Seen<'_>,
    plan: &Plan,
    (column, of, made_for): (usize, &str, For),
    known: &mut BTreeMap<String, f32>,
    measure: Measure<'_>,
) {
    let Some(field) = plan.fields.get(column).copied() else {
        return;
    };
    let (mut text, mut unit) = (0.0_f32, 0.0_f32);
    if made_for == For::All {
        text = head(seen, plan, column, measure);
    }
    let step = plan.quantities.len().div_ceil(LOOKED_AT).max(1);
    for quantity in plan.quantities.iter().copied().step_by(step) {
        let shown = seen.shown(Spot { quantity, field }, false);
        if shown.text.is_empty() || shown.state == State::Failed {
            continue;
        }
        if let Some(shown) = wanting(&shown, (field, false), made_for) {
            text = text.max(taken(&shown, shown.state.font(SIZE), measure));
        }
        unit = unit.max(measure(&shown.unit, look::upright(SIZE - 1.0)));
    }
    let unit = if unit > 0.0 { unit.ceil() + UNIT_AIR } else { 0.0 };
    for (key, width) in [(close(of), text.min(240.0).ceil()), (UNITS_BESIDE.to_owned(), unit)] {
        let before = known.get(&key).copied().unwrap_or(0.0);
        let _ = known.insert(key, width.max(before));
    }
}

/// What the labels take, however short they are.
fn fit_labels(seen: Seen<'_>, plan: &Plan, of: &str, known: &mut BTreeMap<String, f32>, measure: Measure<'_>) {
    let step = plan.quantities.len().div_ceil(LOOKED_AT).max(1);
    let field = Field::Label;
    let all = plan.quantities.iter().copied().step_by(step);
    let widest = all
        .map(|quantity| seen.shown(Spot { quantity, field }, false))
        .map(|shown| taken(&shown, shown.state.font(SIZE), measure))
        .fold(0.0_f32, f32::max);
    let before = known.get(&close(of)).copied().unwrap_or(0.0);
    let _ = known.insert(close(of), widest.ceil().max(before));
}

/// Air between a number and the unit beside it.
pub(super) const UNIT_AIR: f32 = 4.0;

/// By what it is remembered how much room units take beside values.
const UNITS_BESIDE: &str = "units beside values";

/// By what the least width of a case, or what the labels take, is remembered.
fn close(key: &str) -> String {
    format!("{key}, close")
}

/// The least width of labels beside all the cases and their unit.
const LABEL: f32 = 140.0;
/// The least width of labels where there is not room enough for that.
const LABEL_LEAST: f32 = 60.0;
/// The least width of labels where further cases are out of sight anyway.
const LABEL_READ: f32 = 90.0;
/// What is left of labels where a symbol and its value would not be seen beside each other otherwise.
const LABEL_SIGN: f32 = LEAST;
/// The least width that the table draws. One that is asked for below it would be taken for drawn by hand.
pub(super) const LEAST: f32 = 36.0;
/// What is left of a case that has no room: it says how many there are.
const FURTHER: f32 = 34.0;

/// Gives the columns of a sheet their widths. Symbols, values and units stay in sight: first the air in the cases gives way, then the
/// labels. Where that does not do, units stand beside the values, and the cases that have room are whole. Gives the room of units
/// beside the values; `None`: they stand in their column.
pub(super) fn of_sheet(heads: &mut [Head], arrangement: &Arrangement, room: f32) -> Option<f32> {
    let fitting = |key: &str| arrangement.fitting.get(key).copied();
    let drawn = |key: &str| arrangement.by.widths.get(key).copied();
    let width = |heads: &[Head], field: Field| {
        let head = heads.iter().find(|head| head.key == field.word());
        head.map_or(0.0, |head| drawn(&head.key).unwrap_or(head.width))
    };
    let (symbol, unit) = (width(heads, Field::Symbol), width(heads, Field::Unit));
    let label = heads.iter().position(|head| head.key == Field::Label.word())?;
    let label_key = heads.get(label)?.key.clone();
    let wanted = heads.get(label)?.width;
    let cases: Vec<usize> = (0..heads.len())
        .filter(|at| heads.get(*at).is_some_and(|head| head.key.starts_with(CASE)))
        .collect();
    let left = |values: f32| {
        let room = (room - BAR - GUTTER - symbol - values).min(room * MOST_PINNED - GUTTER - symbol);
        (room / 2.0).floor() * 2.0
    };
    // A label of a width that was drawn gives no way.
    let least = |least: f32| drawn(&label_key).unwrap_or(wanted.min(least));
    // What the labels take, where nobody has drawn them narrower.
    let read = fitting(&close(&label_key)).map_or(LABEL, |read| read.clamp(LABEL, wanted.max(LABEL)));
    let widths = |beside: Option<f32>, is_close: bool| -> Vec<f32> {
        let of = |head: &Head| match (drawn(&head.key), fitting(&close(&head.key))) {
            (Some(drawn), _) => drawn,
            (None, Some(close)) if is_close => (close + beside.unwrap_or(0.0)).max(LEAST),
            (None, _) => head.width,
        };
        cases.iter().filter_map(|at| heads.get(*at)).map(of).collect()
    };
    let usual = widths(None, false);
    let narrow = widths(None, true);
    let units = fitting(UNITS_BESIDE).unwrap_or(0.0);
    let mut beside = widths(Some(units), true);
    let sum = |widths: &[f32]| widths.iter().sum::<f32>();
    let all = sum(&beside);
    let mut fills = false;
    let mut label_least = LABEL_LEAST;
    let (made, values, of_units) = if left(sum(&usual) + unit) >= least(read) {
        (None, sum(&usual) + unit, None)
    } else if left(sum(&narrow) + unit) >= least(LABEL_LEAST) {
        // What the labels do not take comes back to the cases.
        let spare = (left(sum(&narrow) + unit) - least(read)).max(0.0);
        let air = sum(&usual) - sum(&narrow);
        let share = if air > 0.0 { (spare / air).min(1.0) } else { 0.0 };
        let both = narrow.iter().zip(&usual);
        let widened: Vec<f32> = both
            .map(|(narrow, usual)| narrow + ((usual - narrow) * share / 2.0).floor() * 2.0)
            .collect();
        let values = sum(&widened) + unit;
        (Some(widened), values, None)
    } else {
        let values = if left(all) >= least(LABEL_LEAST) {
            all
        } else {
            // The label takes what no whole case has room in.
            fills = true;
            // Limits give way to a sign before the value goes.
            let most = room - BAR - GUTTER - symbol - LABEL_LEAST - FURTHER;
            beside.iter_mut().for_each(|width| *width = width.min(most.max(VALUE)));
            // As many as have room beside a label that can be read, and what says that there are more.
            let mut end = 0.0;
            let further = if beside.len() > 1 { FURTHER } else { 0.0 };
            let ends = beside.iter().map(|width| {
                end += width;
                end + further
            });
            let ends: Vec<f32> = ends.collect();
            // The sign of further cases gives way before the label does, the label before the first value.
            let first = beside.first().copied().unwrap_or(0.0);
            label_least = (room - BAR - GUTTER - symbol - first).clamp(LABEL_SIGN, LABEL_LEAST);
            let whole = ends.iter().rev().find(|end| left(**end) >= least(LABEL_READ));
            whole.or(ends.first()).copied().unwrap_or(0.0)
        };
        (Some(beside), values, Some(units))
    };
    for (at, width) in cases.iter().zip(made.into_iter().flatten()) {
        if let Some(head) = heads.get_mut(*at) {
            head.width = width;
        }
    }
    if let Some(head) = heads.get_mut(label) {
        let room = left(values).max(label_least);
        head.width = if fills { room } else { wanted.min(room) };
    }
    of_units
}

/// How the keys of cases begin.
pub(super) const CASE: &str = "case ";

/// What of a place is to have room: all of it, or what cannot be read otherwise.
///
/// `is_name`: rows are told apart by it.
fn wanting(shown: &Shown, (field, is_name): (Field, bool), made_for: For) -> Option<Shown> {
    let unreadable = match field {
        Field::Symbol | Field::Unit => true,
        _ if is_name => true,
        // Of a number that has no room nothing is shown. Its limits are: as a sign.
        Field::Value(_) => shown.right && numbers::split(&shown.text).is_some(),
        _ => false,
    };
    match made_for {
        For::All => Some(shown.clone()),
        For::Unreadable if !unreadable => None,
        For::Unreadable if shown.band.is_empty() => Some(shown.clone()),
        For::Unreadable => Some(Shown {
            band: "±".to_owned(),
            ..shown.clone()
        }),
    }
}

fn width(seen: Seen<'_>, plan: &Plan, (column, made_for): (usize, For), rows: usize, measure: Measure<'_>) -> f32 {
    let field = match plan.form {
        Form::Sheet => plan.fields.get(column).copied(),
        Form::List => None,
    };
    let Limits { least, most } = match field {
        // Words get no more room while they are typed: an empty sheet has room for them.
        Some(Field::Label) => Limits {
            least: 216.0,
            most: 330.0,
        },
        Some(Field::Symbol) => Limits {
            least: 56.0,
            most: 170.0,
        },
        Some(Field::Unit) => Limits {
            least: 56.0,
            most: 120.0,
        },
        Some(Field::Formula | Field::Line) => Limits {
            least: 200.0,
            // The rest of a long one stands in the working line; what a value comes from is to stay in sight.
            most: 260.0,
        },
        Some(Field::Kind | Field::Source) => Limits {
            least: 110.0,
            most: 220.0,
        },
        Some(Field::Value(_)) => Limits {
            least: 112.0,
            most: 240.0,
        },
        None => Limits {
            least: 70.0,
            most: 240.0,
        },
    };
    let is_name = plan.form == Form::List && plan.quantities.get(column) == Some(&0);
    let step = rows.div_ceil(LOOKED_AT).max(1);
    let (mut text, mut whole, mut tail) = (0.0_f32, 0.0_f32, 0.0_f32);
    if made_for == For::All {
        text = head(seen, plan, column, measure);
    }
    for row in (0..rows).step_by(step) {
        let spot = match (field, plan.form) {
            (Some(field), _) => plan.quantities.get(row).map(|quantity| Spot {
                quantity: *quantity,
                field,
            }),
            (None, _) => plan.quantities.get(column).map(|quantity| Spot {
                quantity: *quantity,
                field: Field::Value(row),
            }),
        };
        let Some(spot) = spot else { continue };
        let shown = seen.shown(spot, false);
        // What is wrong with a value is said in full elsewhere.
        if shown.text.is_empty() || shown.state == State::Failed {
            continue;
        }
        let Some(shown) = wanting(&shown, (spot.field, is_name), made_for) else {
            continue;
        };
        let font = match spot.field {
            Field::Symbol => look::bold(SIZE),
            _ => shown.state.font(SIZE),
        };
        // Only a value has a mark.
        let is_value = matches!(spot.field, Field::Value(_));
        let shown = Shown {
            state: if is_value { shown.state } else { State::Words },
            ..shown
        };
        match (
            numbers::split(&shown.text),
            shown.band.is_empty() && plan.form == Form::List,
        ) {
            // Numbers of a list stand point under point.
            (Some((front, back)), true) => {
                whole = whole.max(measure(front, font.clone()));
                tail = tail.max(measure(back, font));
            }
            _ => text = text.max(taken(&shown, font, measure)),
        }
    }
    // Where the lines that head a list are open, what they say is read too.
    if let (None, Some(quantity)) = (
        field,
        plan.quantities
            .get(column)
            .filter(|_| plan.heads() > 0 && made_for == For::All),
    ) {
        for field in [Field::Kind, Field::Source] {
            let spot = Spot {
                quantity: *quantity,
                field,
            };
            let words = seen.shown(spot, false).text;
            text = text.max((measure(&words, look::upright(SIZE - 1.0)) + 20.0).min(160.0));
        }
    }
    let numbers = if whole > 0.0 { whole + tail + MARGINS } else { 0.0 };
    let wanted = text.max(numbers).max(least).min(most);
    (wanted / 2.0).ceil() * 2.0
}

/// What a place takes beside its text: its mark, and a little air on either side.
const MARGINS: f32 = 32.0;

fn taken(shown: &Shown, font: FontId, measure: Measure<'_>) -> f32 {
    let band = match shown.band.is_empty() {
        true => 0.0,
        false => 5.0 + measure(&shown.band, look::upright(SIZE - 1.5)),
    };
    let mark = if shown.state == State::Words { 20.0 } else { MARGINS };
    measure(&shown.text, font) + band + mark
}

/// What the heading of a column takes: of a list its symbol and unit, and what it is in words, in two lines where it is long.
fn head(seen: Seen<'_>, plan: &Plan, column: usize, measure: Measure<'_>) -> f32 {
    let air = 22.0;
    match plan.form {
        Form::Sheet => match plan.fields.get(column) {
            Some(Field::Value(item)) => {
                let name = seen.results.items.get(*item).map_or("", |name| &**name);
                let name = if name.is_empty() { Field::Value(0).word() } else { name };
                // A long name of a case is told where the pointer rests on it.
                (measure(name, look::bold(SIZE - 1.0)) + air).min(180.0)
            }
            Some(field) => measure(field.word(), look::oblique(SIZE - 1.0)) + air,
            None => VALUE,
        },
        Form::List => {
            let Some((at, quantity)) = plan
                .quantities
                .get(column)
                .and_then(|at| Some((*at, seen.quantity(*at)?)))
            else {
                return VALUE;
            };
            let unit = seen.unit(at);
            let symbol = format!("{} · {unit}", quantity.name);
            let symbol = measure(
                if unit.is_empty() { &quantity.name } else { &symbol },
                look::bold(SIZE - 1.0),
            );
            let label = halved(&quantity.title, &mut |text| measure(text, look::upright(SIZE - 1.0)));
            symbol.max(label.min(150.0)) + air
        }
    }
}

/// The least width that a text takes in two lines.
fn halved(text: &str, measure: &mut dyn FnMut(&str) -> f32) -> f32 {
    let whole = measure(text);
    let breaks = text.match_indices(' ').map(|(at, _)| at);
    breaks.fold(whole, |least, at| {
        let (first, second) = text.split_at(at);
        least.min(measure(first).max(measure(second.trim_start())))
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::session::Session;
    use crate::window::arrange::Arrangement;

    /// Letters of ten points each.
    fn letters(text: &str, _: FontId) -> f32 {
        #[allow(clippy::cast_precision_loss)]
        let count = text.chars().count() as f32;
        count * 10.0
    }

    fn widths(text: &str) -> BTreeMap<String, f32> {
        let session = Session::open(text);
        let seen = Seen::of(&session, 0).unwrap();
        let plan = Plan::of(seen, &Arrangement::default());
        let mut known = BTreeMap::new();
        fit(seen, &plan, For::All, &mut known, &mut letters);
        known
    }

    /// By hand: `Rated current of the motor` breaks into `Rated current` and `of the motor`, 13 letters of ten points and air.
    #[test]
    fn a_heading_takes_two_lines_and_a_text_its_own_width() {
        let known = widths(
            "polepair 1\nlist a\n  given tag : text\n  given I \"Rated current of the motor\" \n  rows tag | I\n    \"a long tag there\" | 1\n",
        );
        assert_eq!(known.get("I"), Some(&152.0));
        assert_eq!(known.get("tag"), Some(&192.0));
    }

    #[test]
    fn a_width_has_limits_and_only_grows() {
        let long = "x".repeat(200);
        let text = format!("polepair 1\nsheet a\n  given b = 1 \"{long}\"\n");
        let mut known = widths(&text);
        assert_eq!(known.get("label"), Some(&330.0));
        let session = Session::open(&text.replace(&long, "short"));
        let seen = Seen::of(&session, 0).unwrap();
        let plan = Plan::of(seen, &Arrangement::default());
        fit(seen, &plan, For::All, &mut known, &mut letters);
        assert_eq!(known.get("label"), Some(&330.0));
        assert_eq!(widths(&text.replace(&long, "short")).get("label"), Some(&216.0));
    }

    /// While somebody types, limits, labels and formulas that become longer move nothing; a number, a symbol and a unit that would
    /// not be seen get their room.
    #[test]
    fn what_is_typed_moves_no_column_unless_it_could_not_be_read() {
        let known = widths("polepair 1\nsheet a\n  given b = 1 kW\n  work c = b in kW\n");
        let typed = |text: &str| {
            let session = Session::open(&format!("polepair 1\nsheet a\n{text}"));
            let seen = Seen::of(&session, 0).unwrap();
            let plan = Plan::of(seen, &Arrangement::default());
            let mut now = known.clone();
            fit(seen, &plan, For::Unreadable, &mut now, &mut letters);
            let grown = now.iter().filter(|(key, width)| known.get(*key) != Some(*width));
            grown.map(|(key, _)| key.clone()).collect::<Vec<String>>()
        };
        let long = "x".repeat(60);
        assert_eq!(
            typed(&format!(
                "  given b = 1.25 kW ± 0.125 kW \"{long}\" maker \"{long}\"\n  work c = (b + b + b + b + b + b + b + b) / 8 in kW\n"
            )),
            // In a window too narrow for more, the number with its sign is all that the case has room for.
            ["case 0, close"]
        );
        assert_eq!(
            typed("  given b = 123456789.25 kW\n  work c = b / 1 kW\n"),
            ["case 0", "case 0, close"]
        );
        assert_eq!(
            typed("  given a_long_symbol = 1 kW\n  work c = a_long_symbol in kW\n"),
            ["symbol"]
        );
        assert_eq!(
            typed("  given b = 1 kW·h/(m³·bar)\n  work c = b\n"),
            ["unit", "units beside values"]
        );
    }

    /// Rows are told apart by their names: one that becomes longer gets its room, and no other text of the row does. By hand: 14 letters
    /// of ten points, and air.
    #[test]
    fn a_row_that_is_named_anew_has_room_for_its_name() {
        let list = |tag: &str, note: &str| {
            format!(
                "polepair 1\nlist a\n  given tag : text\n  given note : text\n  rows tag | note\n    \"{tag}\" | \"{note}\"\n"
            )
        };
        let mut known = widths(&list("M-1", "fine"));
        let note = known.get("note").copied();
        let session = Session::open(&list("M-1 of the yard", "looked at and found"));
        let seen = Seen::of(&session, 0).unwrap();
        let plan = Plan::of(seen, &Arrangement::default());
        fit(seen, &plan, For::Unreadable, &mut known, &mut letters);
        assert_eq!((known.get("tag"), known.get("note").copied()), (Some(&182.0), note));
    }

    /// What comes into an empty sheet is seen in a narrow window too: `32.5` and `1180` of ten points a letter with their marks.
    #[test]
    fn values_that_come_into_an_empty_sheet_have_room() {
        let mut known = widths("polepair 1\nsheet a\n");
        let session = Session::open(
            "polepair 1\nsheet a\n  given Q = 85 m³/h \"Flow\"\n  given H = 32.5 m \"Head\"\n  given rho = 1180 kg/m³ \"Density of brine\"\n",
        );
        let seen = Seen::of(&session, 0).unwrap();
        let plan = Plan::of(seen, &Arrangement::default());
        fit(seen, &plan, For::All, &mut known, &mut letters);
        assert_eq!(known.get("case 0, close"), Some(&72.0), "{known:?}");
    }

    /// Where room lacks, labels keep what they take, and the cases have the rest. By hand: of 570 points the bar, the gutter and the
    /// symbol leave 446, the unit takes 60; 200 for the labels leave 186 for two cases, of which each takes 50 at least and 112 with air;
    /// 86 of 124 points of air come back to them, in steps of two: 42 for each.
    #[test]
    fn what_labels_do_not_take_is_room_for_cases() {
        let head = |key: &str, width: f32| Head {
            key: key.to_owned(),
            text: String::new(),
            label: String::new(),
            width,
            usual: 0,
        };
        let mut heads = [
            head("label", 300.0),
            head("symbol", 60.0),
            head("case 0", 112.0),
            head("case 1", 112.0),
            head("unit", 60.0),
        ];
        let mut arrangement = Arrangement::default();
        for (key, width) in [
            ("label, close", 200.0),
            ("case 0, close", 50.0),
            ("case 1, close", 50.0),
        ] {
            let _ = arrangement.fitting.insert(key.to_owned(), width);
        }
        assert_eq!(of_sheet(&mut heads, &arrangement, 570.0), None);
        let widths: Vec<f32> = heads.iter().map(|head| head.width).collect();
        assert_eq!(widths, [202.0, 60.0, 92.0, 92.0, 60.0]);
    }
}
