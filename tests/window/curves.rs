//! Plots: what the pointer and the keys read, what a hand draws, what stands in sight of what.

use eframe::egui::{self, Key, Modifiers};
use polepair::window::command::Act;
use polepair::window::spot::Field;

use crate::{Screen, flat, pressed};

/// A motor whose torque falls in a straight line, and a load that grows in one; the data is invented. By hand: 60 N·m · (1 - n / n_s)
/// and T_f · n / n_s with n_s = 1500 r/min and T_f = 30 N·m meet at n = 1000 r/min with 20 N·m; with T_f = 60 N·m at 750 r/min.
const CROSSING: &str = "polepair 1
sheet drive
  given n_r = 1200 r/min : shaft speed
  given T_f = 30 N·m : torque
  given n_s = 1500 r/min : shaft speed
  curve T_M(n : shaft speed) in N·m = (60 N·m) * (1 - n / n_s)
  curve T_L(n : shaft speed) in N·m = T_f * (n / n_s)
  plot T_M, T_L for n from 0 r/min to n_s \"Torque\"
";

/// The number that stands behind a text in another.
fn number_behind(text: &str, before: &str) -> f64 {
    let rest = text
        .split(before)
        .nth(1)
        .unwrap_or_else(|| panic!("no {before} in {text}"));
    let number = rest.split([' ', ':', '\n']).next().unwrap();
    number.parse().unwrap_or_else(|_| panic!("{number} in {text}"))
}

/// Where the lines meet, as the window says it under the plot.
fn meeting(screen: &Screen) -> f64 {
    let labels = screen.labels();
    let told = labels.iter().find(|label| label.contains("T_M and T_L meet at n = "));
    number_behind(told.unwrap_or_else(|| panic!("{labels:?}")), "meet at n = ")
}

/// A part of a plot that is drawn over is seen larger; pressed twice, all of it comes back. The meeting at 1000 r/min (CROSSING, by
/// hand) then lies in the middle of a part from 900 to 1100 r/min.
#[test]
fn a_part_of_a_plot_is_seen_larger() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), CROSSING);
    screen.ask(Act::Curves);
    let plot = "plot of T_M, T_L over n";
    let dot = "drag where T_M and T_L meet, by T_f";
    let grip = "drag n_r along n";
    let part = |screen: &Screen| screen.labels().into_iter().find(|label| label.starts_with("n from "));
    assert!(screen.has(grip) && part(&screen).is_none(), "{:?}", screen.labels());
    // 0 and 1500 r/min lie so that the given at 1200 and the meeting at 1000 have their distance; 900 and 1100 lie half of it beside.
    let (met, given) = (screen.rect(dot).unwrap().center(), screen.rect(grip).unwrap().center());
    let half = (given.x - met.x) / 2.0;
    let low = met + eframe::egui::vec2(0.0, 60.0);
    screen.take_hold(
        low - eframe::egui::vec2(half, 0.0),
        eframe::egui::vec2(half * 2.0, 10.0),
    );
    screen.let_go(low + eframe::egui::vec2(half, 10.0));
    let told = part(&screen).unwrap_or_else(|| panic!("{:?}", screen.labels()));
    let (from, to) = (number_behind(&told, "from "), number_behind(&told, "to "));
    assert!((from - 900.0).abs() < 12.0 && (to - 1100.0).abs() < 12.0, "{told}");
    // What lies beside it is not drawn, and what is in it lies in the middle.
    assert!(!screen.has(grip) && screen.has(dot), "{:?}", screen.labels());
    let (frame, met) = (screen.rect(plot).unwrap(), screen.rect(dot).unwrap().center());
    assert!(
        (met.x - frame.center().x).abs() < frame.width() * 0.12,
        "{met:?} {frame:?}"
    );
    // The keys go on there: a hundredth of the part on from its beginning, and to its end. Places are worked every 1500 / 159 r/min.
    screen.still();
    assert_eq!(screen.focused().as_deref(), Some(plot));
    let chosen = screen.window().chosen();
    for (key, place) in [
        (Key::ArrowRight, from + (to - from) / 100.0),
        (Key::End, to),
        (Key::ArrowLeft, to - (to - from) / 100.0),
        (Key::Home, from),
    ] {
        screen.key(key);
        let read = number_behind(&screen.hears(plot).unwrap(), "at n = ");
        assert!((read - place).abs() < 1500.0 / 159.0, "{key:?}: {read} {place}");
    }
    assert_eq!(screen.window().chosen(), chosen);
    // Letters are the grid's; behind a sign that makes the picture larger or smaller nothing of a number goes there.
    screen.letters("-");
    screen.key(Key::Minus);
    screen.letters("5");
    assert_eq!(screen.focused().as_deref(), Some(plot));
    screen.key(Key::Plus);
    screen.key(Key::Home);
    screen.enter("1100 r/min");
    assert!(screen.text().contains("given n_r = 1100 r/min"), "{}", screen.text());
    screen.ask(Act::Undo);
    // Twice as close, and back again by keys; the read place is in the middle.
    screen.at_once(pressed(eframe::egui::pos2(met.x, met.y + 60.0)).to_vec());
    screen.key(Key::Plus);
    let closer = part(&screen).unwrap();
    let width = number_behind(&closer, "to ") - number_behind(&closer, "from ");
    assert!((width - (to - from) / 2.0).abs() < 4.0, "{closer} {told}");
    for _ in 0..5 {
        screen.key(Key::Minus);
    }
    assert!(part(&screen).is_none() && screen.has(grip), "{:?}", screen.labels());
    screen.key(Key::Plus);
    assert!(part(&screen).is_some());
    screen.double_click(plot);
    assert!(part(&screen).is_none() && screen.has(grip), "{:?}", screen.labels());
}

#[test]
fn the_place_where_lines_meet_is_drawn_and_the_given_follows() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), CROSSING);
    screen.ask(Act::Curves);
    // In hand is a given in the unit of the lines, though a speed comes first.
    let dot = "drag where T_M and T_L meet, by T_f";
    assert!((meeting(&screen) - 1000.0).abs() < 0.5, "{:?}", screen.labels());
    let before = screen.rect(dot).unwrap().center();
    // A hundred points to the left: towards 750 r/min and beyond 20 N·m. The dot follows along its own way.
    screen.take_hold(before, eframe::egui::vec2(-50.0, -30.0));
    assert!(screen.has_part("as it was before the drag"), "{:?}", screen.labels());
    screen.let_go(before + eframe::egui::vec2(-50.0, -30.0));
    assert!(!screen.has_part("as it was before the drag"), "{:?}", screen.labels());
    let torque = number_behind(&screen.text(), "given T_f = ");
    assert!((31.0..=60.0).contains(&torque), "{torque}");
    // T_f and the meeting fit one another: n = n_s · 60 / (60 + T_f).
    let expected = 1500.0 * 60.0 / (60.0 + torque);
    assert!(
        (meeting(&screen) - expected).abs() < 1.0,
        "{} {expected}",
        meeting(&screen)
    );
    let after = screen.rect(dot).unwrap().center();
    assert!((after.x - before.x + 50.0).abs() < 25.0, "{before:?} {after:?}");
    // However many steps it took, one is taken back.
    screen.ask(Act::Undo);
    assert!(screen.text().contains("given T_f = 30 N·m"), "{}", screen.text());
    assert!(!screen.window().session().unwrap().is_changed());
}

#[test]
fn a_given_that_moves_no_meeting_says_so_and_stays() {
    let folder = tempfile::tempdir().unwrap();
    // Where the picture begins does not move the meeting in it; what no plot goes by is not taken into hand at all.
    let begins = CROSSING
        .replace("from 0 r/min", "from n_0")
        .replace("  given T_f", "  given n_0 = 30 r/min : shaft speed\n  given T_f");
    let (mut screen, _) = Screen::with(folder.path(), &begins);
    screen.ask(Act::Curves);
    screen.go("drive", "T_f", Field::Value(0));
    screen.go("drive", "n_r", Field::Value(0));
    assert!(
        screen.has("drag T_f") && !screen.has("drag n_r"),
        "{:?}",
        screen.labels()
    );
    screen.go("drive", "n_0", Field::Value(0));
    let at = screen.rect("drag where T_M and T_L meet, by n_0").unwrap().center();
    screen.take_hold(at, eframe::egui::vec2(-60.0, 0.0));
    screen.let_go(at + eframe::egui::vec2(-60.0, 0.0));
    assert!(screen.has_part("n_0 does not move that place"), "{:?}", screen.labels());
    assert!(screen.text().contains("given n_0 = 30 r/min"), "{}", screen.text());
}

#[test]
fn a_given_on_the_axis_is_drawn_along_it() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), CROSSING);
    screen.ask(Act::Curves);
    let line = "drag n_r along n";
    let before = screen.rect(line).unwrap().center();
    let end = screen.rect("drag n_s along n").unwrap().center();
    // From 1200 r/min to 1500 r/min there are so many points; as many to the left are 900 r/min.
    let by = before.x - end.x;
    screen.drag_by(before, by);
    let speed = number_behind(&screen.text(), "given n_r = ");
    assert!((speed - 900.0).abs() < 12.0, "{speed}");
    let after = screen.rect(line).unwrap().center();
    assert!((after.x - before.x - by).abs() < 3.0, "{before:?} {after:?} {by}");
    // The grid stands at what was drawn, and the slider holds it.
    let (_, spot) = screen.window().chosen().unwrap();
    assert_eq!((spot.quantity, spot.field), (0, Field::Value(0)));
    assert!(screen.has("drag n_r"), "{:?}", screen.labels());
    screen.ask(Act::Undo);
    assert!(screen.text().contains("given n_r = 1200 r/min"), "{}", screen.text());
}

/// What the pointer reads is read by keys too, and those who listen hear it with the plot.
#[test]
fn a_plot_is_read_by_keys() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), CROSSING);
    screen.ask(Act::Curves);
    let plot = "plot of T_M, T_L over n";
    screen.click(plot);
    assert_eq!(screen.focused().as_deref(), Some(plot));
    screen.still();
    screen.key(Key::Home);
    assert_eq!(
        screen.hears(plot).as_deref(),
        Some("at n = 0 r/min; T_M = 60 N·m; T_L = 0 N·m")
    );
    // A hundredth of the axis on is 15 r/min, ten of them 150 r/min; the nearest place that was worked is read.
    screen.key(Key::ArrowRight);
    let one = number_behind(&screen.hears(plot).unwrap(), "at n = ");
    assert!((one - 15.0).abs() <= 1500.0 / 159.0, "{one}");
    screen.keys(Modifiers::SHIFT, Key::ArrowRight);
    let eleven = number_behind(&screen.hears(plot).unwrap(), "at n = ");
    assert!((eleven - 165.0).abs() <= 1500.0 / 159.0, "{eleven}");
    screen.key(Key::End);
    assert!(
        screen.hears(plot).unwrap().starts_with("at n = 1500 r/min; "),
        "{:?}",
        screen.hears(plot)
    );
    assert!(screen.has("at n = 1500 r/min"), "{:?}", screen.labels());
    // The place stays where the keys go on to the grid.
    let (_, before) = screen.window().chosen().unwrap();
    assert!(!screen.window().session().unwrap().is_changed() && before.quantity == 0);
}

/// A pointer that rests on the plot holds no arrow up: the last of both reads, and each goes on from what is read.
#[test]
fn a_resting_pointer_leaves_a_plot_to_the_keys() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), CROSSING);
    screen.ask(Act::Curves);
    let plot = "plot of T_M, T_L over n";
    screen.click(plot);
    let at = screen.rect(plot).unwrap().center();
    screen.point_to(at);
    let read = |screen: &mut Screen| number_behind(&screen.hears(plot).unwrap(), "at n = ");
    // Places are worked 1500/159 r/min apart.
    let near = |one: f64, other: f64| (one - other).abs() <= 2.0 * 1500.0 / 159.0;
    let rested = read(&mut screen);
    screen.key(Key::ArrowRight);
    screen.keys(Modifiers::SHIFT, Key::ArrowRight);
    assert!(
        near(read(&mut screen), rested + 165.0),
        "{rested} {}",
        read(&mut screen)
    );
    screen.key(Key::Home);
    assert!(near(read(&mut screen), 0.0), "{}", read(&mut screen));
    // A pointer that goes on reads again, and an arrow goes on from there.
    screen.point_to(at + egui::vec2(1.0, 0.0));
    let there = read(&mut screen);
    assert!(near(there, rested) && there >= rested, "{rested} {there}");
    screen.key(Key::ArrowLeft);
    assert!(near(read(&mut screen), there - 15.0), "{there} {}", read(&mut screen));
}

/// Two plots in a low window: the slider stays in sight of them, and each has a read-out of its own.
#[test]
fn the_slider_stays_in_sight_of_the_plots() {
    let folder = tempfile::tempdir().unwrap();
    let two = format!("{CROSSING}  plot T_L for n from 0 r/min to n_s \"Load alone\"\n");
    let (mut screen, _) = Screen::with(folder.path(), &two);
    screen.ask(Act::Curves);
    screen.resize(1280.0, 600.0);
    let slider = screen.rect("drag T_f").unwrap();
    assert!(slider.max.y < 600.0 && slider.width() > 100.0, "{slider:?}");
    let first = screen.rect("plot of T_M, T_L over n").unwrap();
    assert!(
        first.min.y < slider.min.y && first.max.y <= slider.min.y,
        "{first:?} {slider:?}"
    );
    assert!(screen.has("plot of T_L over n"));
    screen.click("plot of T_M, T_L over n");
    screen.still();
    screen.key(Key::End);
    assert!(
        screen
            .hears("plot of T_M, T_L over n")
            .unwrap()
            .starts_with("at n = 1500")
    );
    assert_eq!(screen.hears("plot of T_L over n"), None);
}

/// A plot is as high as there is room, and the panel as wide as is asked for.
#[test]
fn a_plot_takes_the_room_there_is() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), CROSSING);
    screen.ask(Act::Curves);
    let plot = "plot of T_M, T_L over n";
    let usual = screen.rect(plot).unwrap();
    assert!(usual.height() > 380.0, "{usual:?}");
    screen.keys(Modifiers::SHIFT, Key::F10);
    let wide = screen.rect(plot).unwrap();
    assert!(
        wide.width() > usual.width() * 1.6 && wide.height() > 380.0,
        "{usual:?} {wide:?}"
    );
    // The value of the given is still in sight beside it.
    let value = screen.rect("T_f value").unwrap();
    assert!(value.width() > 30.0 && value.max.x <= wide.min.x, "{value:?} {wide:?}");
    screen.keys(Modifiers::SHIFT, Key::F10);
    assert!((screen.rect(plot).unwrap().width() - usual.width()).abs() < 2.0);
}

/// Poles come in pairs: whatever the hand and the keys do, 2, 4, 6 … are typed, as whole numbers.
#[test]
fn poles_are_dragged_by_pairs() {
    let folder = tempfile::tempdir().unwrap();
    let text = CROSSING.replace(
        "  given n_s = 1500 r/min : shaft speed\n",
        "  given p = 4 pole : poles\n  work n_s = (50 Hz) / p in r/min : shaft speed\n",
    );
    let (mut screen, _) = Screen::with(folder.path(), &text);
    screen.ask(Act::Curves);
    screen.go("drive", "p", Field::Value(0));
    let mut seen = std::collections::BTreeSet::new();
    for to in [0.4, 0.55, 0.7, 0.95, 0.05] {
        let begin = screen.hears("p value").unwrap();
        screen.drag_to("drag p", 0.34, to);
        let typed = flat(&screen.text());
        let typed = typed.split("given p = ").nth(1).unwrap();
        let poles: u32 = typed
            .split(" pole")
            .next()
            .unwrap()
            .parse()
            .unwrap_or_else(|_| panic!("{typed}"));
        assert!(poles >= 2 && poles.is_multiple_of(2), "{begin}: {typed}");
        let _ = seen.insert(poles);
    }
    assert!(seen.len() > 2, "{seen:?}");
}

/// What is typed for T_f.
fn friction(screen: &mut Screen) -> f64 {
    let text = screen.text();
    let line = text.lines().find(|line| line.contains("given T_f")).unwrap();
    number_behind(line, "T_f = ")
}

/// What is dragged is typed without noughts behind its point, and let go at an end it can be drawn on: from 30 N·m below a quarter of it.
#[test]
fn a_given_is_dragged_on_from_an_end() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), CROSSING);
    screen.go("drive", "T_f", Field::Value(0));
    screen.ask(Act::Curves);
    screen.drag_to("drag T_f", 0.4, 0.0);
    assert_eq!(friction(&mut screen), 15.0, "{}", screen.text());
    assert!(screen.text().contains("given T_f = 15 N·m"), "{}", screen.text());
    screen.drag_to("drag T_f", 0.4, 0.0);
    assert_eq!(friction(&mut screen), 7.5, "{}", screen.text());
}

/// Letting go changes nothing; and where the handle goes on while the session is at work, the value follows it all the same.
#[test]
fn a_handle_that_is_let_go_leaves_what_was_typed() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), CROSSING);
    screen.go("drive", "T_f", Field::Value(0));
    screen.ask(Act::Curves);
    let mut from = 0.5;
    for to in [0.31, 0.47, 0.62, 0.55, 0.73] {
        let rect = screen.rect("drag T_f").unwrap();
        let at = |share: f32| egui::pos2(rect.min.x + rect.width() * share, rect.center().y);
        screen.harness.hover_at(at(from));
        screen.harness.drag_at(at(from));
        screen.settle();
        // In quick moves: none of them waits for what the one before it gives.
        for step in 1_u8..=4 {
            screen.harness.hover_at(at(from + (to - from) * f32::from(step) / 4.0));
            screen.harness.step();
        }
        screen.settle();
        let held = friction(&mut screen);
        screen.harness.drop_at(at(to));
        screen.settle();
        assert_eq!(friction(&mut screen), held, "let go at {to}");
        screen.drag_to("drag T_f", to, to);
        assert!(
            (friction(&mut screen) - held).abs() < held * 0.02,
            "{held} and {} at {to}",
            friction(&mut screen)
        );
        from = to;
    }
}

/// Beside a wide panel each value has its symbol, which the plots name, and its unit, once.
#[test]
fn beside_a_wide_panel_symbols_values_and_units_stay() {
    let book = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("workbooks/fan-drive.pole");
    let mut screen = Screen::with_file(&book);
    screen.ask(Act::Curves);
    screen.ask(Act::Wide);
    let plot = screen.part_rect("plot of T_M").unwrap();
    assert!(plot.width() > 600.0, "{plot:?}");
    for quantity in ["n_r", "T_b", "n_1", "P_1"] {
        let place = |column: &str| {
            let label = format!("{quantity} {column}");
            screen
                .rect(label.trim_end())
                .unwrap_or_else(|| panic!("{label}: {:?}", screen.labels()))
        };
        let (symbol, value, unit) = (place("symbol"), place("value"), place("unit"));
        assert!(
            symbol.max.x <= value.min.x + 1.0 && value.max.x <= unit.min.x + 1.0,
            "{quantity}"
        );
        assert!(unit.max.x < plot.min.x, "{quantity}: {unit:?} {plot:?}");
    }
    assert_eq!(screen.hears("T_b value").as_deref(), Some("132 typed"));
}

/// Lines of one sort share a scale, whatever unit each is written in, and meet where they are equal; by hand 44.253 729 lbf·ft are
/// 60 N·m (1.355 817 948 N·m each, NIST SP 811 B.8), so the motor is that of CROSSING. Power has a scale of its own at the right.
#[test]
fn lines_in_other_units_share_the_picture() {
    let folder = tempfile::tempdir().unwrap();
    let text = CROSSING
        .replace("in N·m = (60 N·m)", "in lb-ft = (44.253729 lb-ft)")
        .replace("plot T_M, T_L for", "plot T_M, T_L, T_M(n) * n for");
    let (mut screen, _) = Screen::with(folder.path(), &text);
    screen.ask(Act::Curves);
    assert!((meeting(&screen) - 1000.0).abs() < 0.01, "{:?}", screen.labels());
    let labels = screen.labels();
    let met = labels.iter().find(|label| label.contains("meet at")).unwrap();
    // 20 N·m over 1.355 817 948.
    assert!(met.ends_with("1000 r/min: 14.75 lbf·ft"), "{met}");
    assert!(screen.has("(scale at the right)"), "{labels:?}");
    screen.ask(Act::InSi);
    assert!(screen.has_part("1000 r/min: 20.00 N·m"), "{:?}", screen.labels());
}

/// A drag reaches no zero and changes no sign, whatever the axis has; a given of a kind with limits stays within them. By hand: a
/// fiftieth of 1200 r/min is 24 r/min.
#[test]
fn a_drag_stays_within_what_a_given_can_be() {
    let folder = tempfile::tempdir().unwrap();
    let text = CROSSING.replace("from 0 r/min to n_s", "from -1500 r/min to n_s");
    let (mut screen, _) = Screen::with(folder.path(), &text);
    screen.ask(Act::Curves);
    let line = "drag n_r along n";
    let before = screen.rect(line).unwrap().center();
    screen.drag_by(before, -2000.0);
    let speed = number_behind(&screen.text(), "given n_r = ");
    assert!((speed - 24.0).abs() < 0.1, "{speed}");
}

/// The slider is used by keys: an arrow goes on by a hundredth of the value that it began with, the keys that go far to the ends, which are told. Of
/// a workbook that is opened then it begins anew.
#[test]
fn the_slider_goes_by_keys_and_tells_its_ends() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), CROSSING);
    screen.go("drive", "T_f", Field::Value(0));
    screen.ask(Act::Curves);
    assert!(screen.has("from 15 N·m to 60 N·m"), "{:?}", screen.labels());
    screen.key(Key::F5);
    for _ in 0..30 {
        if screen.focused().as_deref() == Some("drag T_f") {
            break;
        }
        screen.key(Key::Tab);
    }
    assert_eq!(screen.focused().as_deref(), Some("drag T_f"));
    let now = |screen: &mut Screen| number_behind(&screen.text(), "given T_f = ");
    let begun = now(&mut screen);
    screen.key(Key::ArrowRight);
    screen.key(Key::ArrowRight);
    assert!(
        (now(&mut screen) - begun - 0.6).abs() < 0.02,
        "{begun} {}",
        now(&mut screen)
    );
    screen.key(Key::PageUp);
    assert!(
        (now(&mut screen) - begun - 3.6).abs() < 0.1,
        "{begun} {}",
        now(&mut screen)
    );
    screen.key(Key::End);
    assert!((now(&mut screen) - 60.0).abs() < 0.1, "{}", now(&mut screen));
}

/// Whatever was dragged by the pointer goes on by keys until they go elsewhere: a hundredth of the 1200 r/min that the drag began with
/// are 12 r/min. What is typed then is for the place in the grid, which is that given.
#[test]
fn the_keys_go_on_with_what_was_dragged() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), CROSSING);
    screen.ask(Act::Curves);
    let speed = |screen: &mut Screen| number_behind(&screen.text(), "given n_r = ");
    let line = "drag n_r along n";
    let end = screen.rect("drag n_s along n").unwrap().center();
    let drag = |screen: &mut Screen| {
        let at = screen.rect(line).unwrap().center();
        screen.drag_by(at, (at.x - end.x) / 3.0);
        assert_eq!(screen.focused().as_deref(), Some("drag n_r"));
        speed(screen)
    };
    let chosen = |screen: &mut Screen| screen.window().chosen().map(|(_, spot)| (spot.quantity, spot.field));
    let place = Some((0, Field::Value(0)));
    let dragged = drag(&mut screen);
    for (key, by) in [(Key::ArrowRight, 12.0), (Key::ArrowRight, 24.0), (Key::ArrowLeft, 12.0)] {
        screen.key(key);
        let now = speed(&mut screen);
        assert!((now - dragged - by).abs() < 0.6, "{dragged} {now}");
        assert_eq!(chosen(&mut screen), place);
    }
    // Each way out of it: Esc and a press on the grid give the keys back to the grid, Tab goes on in the panel.
    screen.key(Key::Escape);
    let before = speed(&mut screen);
    screen.key(Key::ArrowRight);
    assert_ne!(chosen(&mut screen), place);
    assert_eq!(speed(&mut screen), before);
    let _ = drag(&mut screen);
    screen.key(Key::Tab);
    assert_ne!(screen.focused().as_deref(), Some("drag n_r"));
    let before = drag(&mut screen);
    screen.click("T_f value");
    assert_ne!(screen.focused().as_deref(), Some("drag n_r"));
    screen.key(Key::ArrowRight);
    assert_eq!(speed(&mut screen), before);
    // The slider that was dragged itself, and the place where lines meet.
    screen.go("drive", "T_f", Field::Value(0));
    screen.drag_to("drag T_f", 0.5, 0.6);
    assert_eq!(screen.focused().as_deref(), Some("drag T_f"));
    screen.key(Key::Escape);
    let dot = screen.rect("drag where T_M and T_L meet, by T_f").unwrap().center();
    screen.take_hold(dot, eframe::egui::vec2(-30.0, -20.0));
    screen.let_go(dot + eframe::egui::vec2(-30.0, -20.0));
    assert_eq!(screen.focused().as_deref(), Some("drag T_f"));
    // Letters, Enter, Delete and the arrows up and down are the grid's.
    let _ = drag(&mut screen);
    screen.enter("1100 r/min");
    assert_eq!(speed(&mut screen), 1100.0);
    let _ = drag(&mut screen);
    screen.key(Key::ArrowDown);
    assert_eq!(chosen(&mut screen), Some((1, Field::Value(0))));
    let _ = drag(&mut screen);
    screen.key(Key::Delete);
    assert!(!screen.text().contains("given n_r = "), "{}", screen.text());
}

/// What is not taken in moves no line, and the plots that rest on it say so.
#[test]
fn a_plot_says_what_it_does_not_rest_on() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), CROSSING);
    screen.ask(Act::Curves);
    let said = "at T_f is not taken in: the lines are drawn from what stood there before";
    assert!(!screen.has_part(said), "{:?}", screen.labels());
    screen.go("drive", "T_f", Field::Value(0));
    screen.enter("60 | 70");
    assert!(screen.has_part(said), "{:?}", screen.labels());
    screen.go("drive", "T_f", Field::Value(0));
    screen.key(Key::Delete);
    assert!(!screen.has_part(said), "{:?}", screen.labels());
}

/// A text in another case is none that the lines rest on; one at a formula is, and one in another sheet, in whichever case.
#[test]
fn a_plot_rests_on_the_texts_of_its_case() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1
sheet drive
  cases low | high
  given T_f = 30 N·m | 40 N·m : torque
  given n_s = 1500 r/min : shaft speed
  work T_2 = 2 * T_f in N·m
  curve T_M(n : shaft speed) in N·m = (60 N·m) * (1 - n / n_s)
  curve T_L(n : shaft speed) in N·m = T_2 / 2 * more.k * (n / n_s)
  plot T_M, T_L for n from 0 r/min to n_s
sheet more
  cases low | high
  given k = 1 | 2
";
    let (mut screen, _) = Screen::with(folder.path(), text);
    screen.ask(Act::Curves);
    let said = |screen: &mut Screen, case: usize| {
        screen.go("drive", "T_f", Field::Value(case));
        screen.has_part("is not taken in: the lines are drawn from what stood there before")
    };
    assert!(!said(&mut screen, 0) && !said(&mut screen, 1), "{:?}", screen.labels());
    for (at, low, high) in [
        (("drive", "T_f", Field::Value(1)), false, true),
        (("drive", "T_2", Field::Formula), true, true),
        (("more", "k", Field::Value(1)), true, true),
    ] {
        screen.go(at.0, at.1, at.2);
        screen.enter("60 | 70");
        assert_eq!(said(&mut screen, 0), low, "{at:?}: {:?}", screen.labels());
        assert_eq!(said(&mut screen, 1), high, "{at:?}: {:?}", screen.labels());
        screen.go(at.0, at.1, at.2);
        screen.key(Key::Delete);
        assert!(!said(&mut screen, 1), "{at:?}: {:?}", screen.labels());
    }
}

/// By Tab one comes to the plot as well, and its arrows read it.
#[test]
fn a_plot_is_reached_by_tab() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), CROSSING);
    screen.ask(Act::Curves);
    let plot = "plot of T_M, T_L over n";
    screen.key(Key::F5);
    for _ in 0..30 {
        if screen.focused().as_deref() == Some(plot) {
            break;
        }
        screen.key(Key::Tab);
    }
    assert_eq!(screen.focused().as_deref(), Some(plot));
    screen.key(Key::End);
    assert!(
        screen
            .hears(plot)
            .is_some_and(|words| words.starts_with("at n = 1500 r/min; ")),
        "{:?}",
        screen.hears(plot)
    );
    // Up and down go to where lines meet, at 1000 r/min by hand, and choose nothing in the grid.
    let chosen = screen.window().chosen();
    for key in [Key::ArrowDown, Key::Home, Key::ArrowUp] {
        screen.key(key);
        let begins = if key == Key::Home {
            "at n = 0 r/min; "
        } else {
            "at n = 1000 r/min; "
        };
        assert!(
            screen.hears(plot).is_some_and(|words| words.starts_with(begins)),
            "{key:?}: {:?}",
            screen.hears(plot)
        );
    }
    assert_eq!(screen.window().chosen(), chosen);
    assert_eq!(screen.focused().as_deref(), Some(plot));
    // Both lines are read where they meet and not beside it. By hand: 60 N·m · (1 - n / n_s) and 31 N·m · n / n_s meet at
    // n / n_s = 60 / 91, with 31 N·m · 60 / 91 = 20.44 N·m.
    let (mut screen, _) = Screen::with(folder.path(), &CROSSING.replace("T_f = 30 N·m", "T_f = 31 N·m"));
    screen.ask(Act::Curves);
    screen.key(Key::F5);
    for _ in 0..30 {
        if screen.focused().as_deref() == Some(plot) {
            break;
        }
        screen.key(Key::Tab);
    }
    screen.key(Key::ArrowUp);
    let read = screen.hears(plot).unwrap();
    assert!(
        read.starts_with("at n = 989.0 r/min; T_M = 20.44 N·m; T_L = 20.44 N·m"),
        "{read}"
    );
}

/// A sheet without a plot offers one that fits it in one press: of its curves as far as its largest speed, by hand 1500 r/min, or of what
/// is worked from the chosen given, else from the first one, over half to twice of it; nothing where nothing fits.
#[test]
fn a_plot_that_fits_is_offered() {
    let folder = tempfile::tempdir().unwrap();
    let curves = "polepair 1
sheet fan
  given n_s = 1500 r/min : synchronous speed
  given n_r = 1455 r/min : rated speed
  curve T_M(n : shaft speed) = torque_by_breakdown(slip(n_s, n), 132 N·m, 17 %)
  curve T_L(n : shaft speed) = quadratic_load(n, 44 N·m, 1500 r/min)
";
    let (mut screen, _) = Screen::with(folder.path(), curves);
    screen.ask(Act::Curves);
    let before = screen.text();
    let line = "plot T_M, T_L for n from 0 r/min to n_s";
    screen.click(&format!("→ {line}"));
    assert!(screen.text().contains(&format!("{line}\n")), "{}", screen.text());
    assert!(screen.has("plot of T_M, T_L over n"), "{:?}", screen.labels());
    screen.ask(Act::Undo);
    assert_eq!(screen.text(), before);

    let points = "polepair 1
sheet a
  curve H(Q : volume flow) in m through (0 m³/h, 30 m), (60 m³/h, 22 m), (90 m³/h, 9 m)
";
    let (mut screen, _) = Screen::with(folder.path(), points);
    screen.ask(Act::Curves);
    screen.click("→ plot H for Q from 0 m³/h to 90 m³/h");
    assert!(screen.has("plot of H over Q"), "{:?}", screen.labels());

    let worked = "polepair 1
sheet pump
  cases day | night
  given rho = 1000 kg/m³ : density
  given Q = 60 m³/h | 40 m³/h : volume flow
  given p = 4 pole : poles
  given H = 18 m : height
  work P_h = rho * g_n * Q * H in kW
  work n_s = 50 Hz / p in r/min
";
    let (mut screen, _) = Screen::with(folder.path(), worked);
    screen.go("pump", "rho", Field::Value(0));
    screen.ask(Act::Curves);
    assert!(
        screen.has("→ plot rho * g_n * Q * H for rho from 500 kg/m³ to 2000 kg/m³"),
        "{:?}",
        screen.labels()
    );
    screen.go("pump", "Q", Field::Value(1));
    let line = "plot rho * g_n * Q * H for Q from 20 m³/h to 80 m³/h";
    screen.click(&format!("→ {line}"));
    assert!(screen.text().contains(line), "{}", screen.text());
    assert!(screen.has_part(" over Q"), "{:?}", screen.labels());

    // A line through nothing says no more than its formula.
    let text = "polepair 1\nsheet a\n  given V = 400 V : line voltage\n  work V_ph = V / √3\n";
    let (mut screen, _) = Screen::with(folder.path(), text);
    screen.ask(Act::Curves);
    assert!(screen.has_part("This sheet has no plot"), "{:?}", screen.labels());
    assert!(
        !screen.labels().iter().any(|label| label.starts_with("→ plot")),
        "{:?}",
        screen.labels()
    );
}

/// The same as CROSSING with the values in a sheet before the plots: T_f is dragged beside the plot, which stays in sight, and a sheet
/// without plots leads to those that go by it.
#[test]
fn a_given_of_another_sheet_is_dragged_beside_the_plot() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1
sheet values \"What is given\"
  given T_f = 30 N·m : torque
  given n_s = 1500 r/min : shaft speed
  given spare = 3 kW
sheet drive \"Curves\"
  given note_of = 2 kW
  curve T_M(n : shaft speed) in N·m = (60 N·m) * (1 - n / values.n_s)
  curve T_L(n : shaft speed) in N·m = values.T_f * (n / values.n_s)
  plot T_M, T_L for n from 0 r/min to values.n_s
";
    let (mut screen, _) = Screen::with(folder.path(), text);
    screen.ask(Act::Curves);
    screen.click("The plots of Curves go by this sheet");
    assert_eq!(screen.window().chosen().map(|(sheet, _)| sheet), Some(1));
    assert!((meeting(&screen) - 1000.0).abs() < 1.0, "{:?}", screen.labels());
    screen.drag_to("drag values.T_f", 0.5, 1.0);
    // Twice 30 N·m at the end, where the lines meet at 750 r/min.
    assert!(
        screen.text().contains("given T_f = 60 N·m : torque"),
        "{}",
        screen.text()
    );
    assert!((meeting(&screen) - 750.0).abs() < 1.0, "{:?}", screen.labels());
    assert_eq!(screen.window().chosen().map(|(sheet, _)| sheet), Some(1));
    // One step takes it back; what no plot goes by is not offered.
    screen.ask(Act::Undo);
    assert_eq!(screen.window().chosen().map(|(sheet, _)| sheet), Some(1));
    assert!(screen.text().contains("given T_f = 30 N·m"), "{}", screen.text());
    assert!(
        !screen.has_part("spare") && !screen.has_part("drag note_of"),
        "{:?}",
        screen.labels()
    );
}

/// Draws the slider of a given from one place to others, each in one leap, and lets go there.
fn leap(screen: &mut Screen, label: &str, from: f32, to: &[f32]) {
    let rect = screen.rect(label).unwrap();
    let at = |share: f32| egui::pos2(rect.min.x + rect.width() * share, rect.center().y);
    screen.harness.hover_at(at(from));
    screen.harness.drag_at(at(from));
    screen.settle();
    for share in to {
        screen.harness.hover_at(at(*share));
        screen.settle();
    }
    screen.harness.drop_at(at(*to.last().unwrap()));
    screen.settle();
}

/// A gear with an efficiency above 100 % is none. Let go there after one leap, the value from before comes back; a hand that goes on
/// comes as near to 100 % as the drag tells apart.
#[test]
fn a_drag_comes_back_from_what_no_machine_has() {
    let folder = tempfile::tempdir().unwrap();
    let text = CROSSING
        .replace("  given T_f", "  given e = 80 %\n  given T_f")
        .replace("T_f * (n", "T_f * e * (n");
    let text = format!("{text}  work T_m = load_at_motor(250 N·m, 1400 r/min, 20, e) in N·m\n");
    let (mut screen, _) = Screen::with(folder.path(), &text);
    screen.go("drive", "e", Field::Value(0));
    screen.ask(Act::Curves);
    let before = screen.text();
    let share = |screen: &mut Screen| number_behind(&screen.text(), "given e = ");
    leap(&mut screen, "drag e", 0.5, &[1.0]);
    assert_eq!(share(&mut screen), 80.0);
    assert!(!screen.has_part("✕"), "{:?}", screen.labels());
    leap(
        &mut screen,
        "drag e",
        0.5,
        &[0.75, 1.0, 0.98, 1.0, 0.98, 1.0, 0.98, 1.0, 0.98, 1.0, 0.98],
    );
    let now = share(&mut screen);
    assert!((98.0..=100.0).contains(&now), "{now}");
    screen.ask(Act::Undo);
    assert_eq!(share(&mut screen), 80.0);
    assert_eq!(screen.text(), before);
}

/// Where the handle goes on while a long list is saved, what it stands at is typed once the session is back.
#[test]
fn a_handle_that_moves_while_the_session_is_at_work_is_followed() {
    let folder = tempfile::tempdir().unwrap();
    let rows: String = (0..40_000).map(|row| format!("    \"M-{row}\" | {row} kW\n")).collect();
    let list = format!("list motors\n  given tag : text\n  given P in kW\n  rows tag | P\n{rows}");
    let (mut screen, _) = Screen::with(folder.path(), &format!("{CROSSING}{list}"));
    screen.go("drive", "T_f", Field::Value(0));
    screen.ask(Act::Curves);
    let rect = screen.rect("drag T_f").unwrap();
    let at = |share: f32| egui::pos2(rect.min.x + rect.width() * share, rect.center().y);
    screen.harness.hover_at(at(0.5));
    screen.harness.drag_at(at(0.5));
    screen.settle();
    let mut away = 0;
    for step in 1_u8..=5 {
        screen.harness.hover_at(at(0.5 + f32::from(step) * 0.02));
        screen.settle();
        let held = friction(&mut screen);
        screen.window().ask(Act::Save);
        screen.harness.step();
        let is_away = screen.window().session().is_none();
        screen.harness.hover_at(at(0.5 + f32::from(step) * 0.02 + 0.1));
        screen.harness.step();
        away += u8::from(is_away);
        screen.settle();
        let now = friction(&mut screen);
        assert!(now > held * 1.002, "{step}: {held} {now}");
    }
    assert!(away > 0, "the session was never at work");
    screen.harness.drop_at(at(0.8));
    screen.settle();
}

/// What is zero has no half and no twice, and what stands between limits of its own says where it may be: neither is dragged.
#[test]
fn what_has_no_half_or_limits_of_its_own_is_not_dragged() {
    let folder = tempfile::tempdir().unwrap();
    let text = CROSSING
        .replace(
            "  given T_f",
            "  given T_0 = 0 N·m : torque\n  given T_1 = 2 N·m limits 1 N·m … 3 N·m : torque\n  given T_f",
        )
        .replace("T_f * (n / n_s)", "T_f * (n / n_s) + T_0 + T_1");
    let (mut screen, _) = Screen::with(folder.path(), &text);
    screen.ask(Act::Curves);
    for name in ["T_0", "T_1"] {
        screen.go("drive", "T_f", Field::Value(0));
        assert!(screen.has("drag T_f"), "{:?}", screen.labels());
        screen.go("drive", name, Field::Value(0));
        assert!(!screen.has(&format!("drag {name}")), "{:?}", screen.labels());
    }
}

/// Of another sheet the case with the same name is dragged, in the units that are shown; what a list has is not. The grid stays where it
/// is, and away from the plots a step back leads to what it changed. By hand: with 40 N·m the lines of CROSSING meet at 900 r/min, and 40 N·m
/// are 29.50 lbf·ft (1.355 817 948 N·m each, NIST SP 811 B.8).
#[test]
fn a_given_of_another_sheet_is_that_of_the_same_case() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1
sheet values \"What is given\"
  cases day | night
  given n_s = 1500 r/min : shaft speed
  given T_f = 30 N·m | 40 N·m : torque
sheet drive \"Curves\"
  cases day | night
  given note_of = 2 kW | 3 kW
  curve T_M(n : shaft speed) in N·m = (55 N·m + sum(T for loads)) * (1 - n / values.n_s)
  curve T_L(n : shaft speed) in N·m = values.T_f * (n / values.n_s)
  plot T_M, T_L for n from 0 r/min to values.n_s
sheet other \"Other plots\"
  given v = 3 m/s
  plot v * t for t from 0 s to 9 s
list loads
  given tag : text
  given T in N·m
  rows tag | T
    \"M-1\" | 5 N·m
";
    let (mut screen, _) = Screen::with(folder.path(), text);
    screen.ask(Act::Curves);
    assert!(
        screen.has("The plots of Curves go by this sheet") && !screen.has_part("The plots of Other"),
        "{:?}",
        screen.labels()
    );
    screen.go("drive", "note_of", Field::Value(1));
    assert!((meeting(&screen) - 900.0).abs() < 1.0, "{:?}", screen.labels());
    let place = screen.window().chosen();
    screen.click("Given to drag");
    assert!(
        screen.has("values.n_s") && !screen.has("loads.T"),
        "{:?}",
        screen.labels()
    );
    screen.key(Key::Escape);
    screen.drag_to("drag values.T_f", 0.5, 1.0);
    assert!(
        screen.text().contains("given T_f = 30 N·m | 80 N·m : torque"),
        "{}",
        screen.text()
    );
    screen.ask(Act::Undo);
    // Drawn at the place where they meet.
    let dot = screen
        .rect("drag where T_M and T_L meet, by values.T_f")
        .unwrap()
        .center();
    screen.take_hold(dot, egui::vec2(-30.0, -20.0));
    screen.let_go(dot + egui::vec2(-30.0, -20.0));
    assert_ne!(number_behind(&screen.text(), "given T_f = 30 N·m | "), 40.0);
    assert_eq!(screen.window().chosen(), place);
    screen.ask(Act::Undo);
    assert_eq!(screen.window().chosen(), place);
    screen.ask(Act::InUs);
    assert!(screen.has_part("from 14.75 lbf·ft to 59.0"), "{:?}", screen.labels());
    screen.ask(Act::Redo);
    screen.ask(Act::Checks);
    screen.ask(Act::Undo);
    assert_eq!(screen.window().chosen().map(|(sheet, _)| sheet), Some(0));
}
