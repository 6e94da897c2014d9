//! What is said beside the grid, in the units that are shown: doubts of a list, why a check or a plot was not worked; and what a result of
//! a list rests on.

use eframe::egui::{Event, Key, Modifiers};
use polepair::quantity::System;
use polepair::window::command::Act;
use polepair::window::spot::{Field, Seen, Spot};

use crate::Screen;

/// 9.2 kW over 0.745 70 kW are 12.34 hp; what was measured is electrical and stays in kW.
#[test]
fn doubts_are_said_in_the_units_that_are_shown() {
    let mut screen = Screen::of_list("workbooks/quarry-motors.xlsx");
    assert!(
        screen.has_part("Measured 79.6 kW is above the 9.774 kVA"),
        "{:?}",
        screen.labels()
    );
    assert!(
        screen.has_part("9.2 kW is in no standard series"),
        "{:?}",
        screen.labels()
    );
    screen.ask(Act::InUs);
    assert!(
        screen.has_part("12.34 hp is in no standard series"),
        "{:?}",
        screen.labels()
    );
    assert!(!screen.has_part("9.2 kW is in no"), "{:?}", screen.labels());
    assert!(screen.has_part("Measured 79.6 kW is above the 9.774 kVA"));
}

/// 3 m are 9.843 ft, 100 m 328.1 ft.
#[test]
fn why_a_check_or_a_plot_was_not_worked_is_said_in_the_units_that_are_shown() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1
sheet a \"Pump\"
  given H = 3 m : height
  curve Q(h : height) in m³/h through (5 m, 40 m³/h), (100 m, 10 m³/h)
  check Q(H) > 20 m³/h \"flow\"
  plot Q(H + x) for x from 0 m to 1 m
";
    let (mut screen, _) = Screen::with(folder.path(), text);
    let said = |screen: &mut Screen, act: Act, words: &str| {
        screen.ask(act);
        assert!(screen.has_part(words), "{words}: {:?}", screen.labels());
    };
    said(
        &mut screen,
        Act::Checks,
        "Q is given from 5 m to 100 m and asked at 3 m",
    );
    said(
        &mut screen,
        Act::InUs,
        "Q is given from 16.40 ft to 328.1 ft and asked at 9.843 ft",
    );
    screen.ask(Act::AsWritten);
    said(&mut screen, Act::Curves, "Q is given from 5 m to 100 m and asked at");
    said(
        &mut screen,
        Act::InUs,
        "Q is given from 16.40 ft to 328.1 ft and asked at",
    );
}

/// A check is counted once, by the worst that it says, wherever it is counted. Of a value that was chosen among methods those readings are
/// named first that gave it, and what is missing would not change it.
#[test]
fn a_failing_check_of_a_list_is_counted_once_and_names_what_gave_its_value() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1
list m \"Motors\"
  given tag : text
  given fed : text
  given P in kW : input power
  given P_r in kW : shaft power
  given I in A : measured current
  given I_r in A : rated current
  work load = P / P_r when fed = \"line\" and known(P), otherwise I / I_r in %
  check load < 60 % \"room\"
  rows tag | fed | P | P_r | I | I_r
    \"M-1\" | \"line\" | | 5 kW | 12.96667 A | 15 A
    \"M-2\" | \"line\" | | 5 kW | 14 A | 15 A
    \"M-3\" | \"line\" | | 5 kW | | 15 A
";
    let (mut screen, _) = Screen::with(folder.path(), text);
    screen.ask(Act::Checks);
    let count = |screen: &Screen, words: &str| screen.labels().iter().filter(|label| *label == words).count();
    // Title, side bar and panel; links are heard twice.
    assert_eq!(count(&screen, "✕ 1 check does not hold"), 6, "{:?}", screen.labels());
    assert!(
        screen.has("holds for 0 of 3 rows, does not hold for 2, not worked for 1"),
        "{:?}",
        screen.labels()
    );
    assert!(screen.has("I = 12.97 A"), "{:?}", screen.labels());
    for aside in ["P is missing", "fed = \"line\"", "P_r = 5 kW"] {
        assert!(!screen.has(aside), "{aside}: {:?}", screen.labels());
    }
    // The working names all it reads, those that gave the value first.
    screen.go("m", "load", Field::Value(0));
    let labels = screen.labels();
    let at = |words: &str| {
        let place = labels.iter().position(|label| label == words);
        place.unwrap_or_else(|| panic!("{words}: {labels:?}"))
    };
    assert!(at("I_r = 15 A") < at("fed = \"line\""), "{labels:?}");
}

/// Beside the line of a check stands the item it is worst for, and what it says of the others. By hand: 3 over 2 is 50 % too much, 2.5
/// over 2 25 %.
#[test]
fn a_check_of_several_cases_says_of_which_and_of_how_many() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1
sheet a \"Shaft\"
  cases first | second | third | last
  given x = 3 m | 1 m | 2.5 m |
  given y = 1 m | 1 m | 1 m | 1 m
  given z = 1 m | | 1 m | 1 m
  check x <= 2 m \"some\"
  check y <= 2 m \"all\"
  check z <= 2 m \"most\"
  flag \"long\" where x > 2 m
";
    let (mut screen, _) = Screen::with(folder.path(), text);
    screen.ask(Act::Lines);
    for words in [
        "✕ first: -50 %; 1 holds, 1 more does not hold, 1 not worked",
        "✓ first: 50 %",
        "○ second: not worked; 3 hold",
        "△ 2 of 4 raised",
    ] {
        assert!(screen.has(words), "{words}: {:?}", screen.labels());
    }
}

/// A place that is emptied and typed anew takes the unit that stood beside it, whatever the other cases are in; taken back, the text is
/// what it was. 1 ft is 0.304 8 m (NIST SP 811, appendix B), so 6000 cfm are 6000 · 0.3048³ / 60 = 2.832 m³/s.
#[test]
fn emptied_values_leave_their_unit_and_kind() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1
sheet fan
  cases winter | summer | night
  given Q = 4.5 m³/s | 3.8 m³/s | 6000 cfm \"Air flow\"
  given P = 20 hp : shaft power
  given T = 120 N·m
sheet us
  units US
  given P = 15 kW : shaft power
list motors
  given tag : text
  given Q
  given P in kW : shaft power
  rows tag | Q | P
    \"M-1\" | 2.5 m³/h | 15 kW
    \"M-2\" | 3.5 m³/h | 22 kW
";
    let (mut screen, _) = Screen::with(folder.path(), text);
    let before = screen.text();
    let shown = |screen: &mut Screen, sheet: usize, quantity: usize| {
        let seen = Seen::of(screen.window().session().unwrap(), sheet).unwrap();
        (seen.unit(quantity), seen.quantity(quantity).unwrap().sort.kind_words())
    };
    // Two of three at once, then all; what is typed there again is in the unit it was in.
    screen.go("fan", "Q", Field::Value(0));
    screen.keys(Modifiers::SHIFT, Key::ArrowRight);
    screen.key(Key::Delete);
    assert_eq!(shown(&mut screen, 0, 0), ("m³/s".to_owned(), "volume flow".to_owned()));
    screen.go("fan", "Q", Field::Value(0));
    screen.enter("4.5");
    assert!(screen.text().contains("4.5 m³/s | | 6000 cfm"), "{}", screen.text());
    let third = Spot {
        quantity: 0,
        field: Field::Value(2),
    };
    let seen = Seen::of(screen.window().session().unwrap(), 0).unwrap();
    assert_eq!(seen.shown(third, false).text, "2.832");
    for _ in 0..2 {
        screen.keys(Modifiers::COMMAND, Key::Z);
    }
    assert_eq!(screen.text(), before);
    // All of them, by cutting: unit and kind stay. One value for all cases, by typing nothing.
    screen.go("fan", "Q", Field::Value(0));
    screen.keys(Modifiers::SHIFT, Key::ArrowRight);
    screen.keys(Modifiers::SHIFT, Key::ArrowRight);
    screen.at_once(vec![Event::Cut]);
    assert_eq!(shown(&mut screen, 0, 0), ("m³/s".to_owned(), "volume flow".to_owned()));
    screen.go("fan", "P", Field::Value(1));
    screen.key(Key::Delete);
    assert_eq!(shown(&mut screen, 0, 1), ("hp".to_owned(), "shaft power".to_owned()));
    screen.go("fan", "T", Field::Value(0));
    screen.ask(Act::ChooseLine);
    screen.key(Key::Delete);
    assert_eq!(shown(&mut screen, 0, 2), ("N·m".to_owned(), "torque".to_owned()));
    assert!(!screen.text().contains("20 hp in hp"), "{}", screen.text());
    for _ in 0..3 {
        screen.keys(Modifiers::COMMAND, Key::Z);
    }
    assert_eq!(screen.text(), before);
    screen.go("us", "P", Field::Value(0));
    screen.key(Key::Delete);
    assert!(
        screen.text().contains("given P in kW : shaft power\n\nlist")
            || screen.text().contains("given P in kW : shaft power\nlist"),
        "{}",
        screen.text()
    );
    screen.keys(Modifiers::COMMAND, Key::Z);
    // In a list: all rows that say the unit.
    screen.go("motors", "Q", Field::Value(0));
    screen.key(Key::Delete);
    assert!(!screen.text().contains("given Q in"), "{}", screen.text());
    screen.go("motors", "Q", Field::Value(1));
    screen.key(Key::Delete);
    screen.go("motors", "Q", Field::Value(1));
    screen.enter("4");
    let now = screen.text();
    assert!(
        now.contains("given Q in m³/h") && now.contains("| 4 m³/h | 22 kW"),
        "{now}"
    );
    // The kind is said already, and the unit of a line that says it.
    assert!(now.contains("given P in kW : shaft power\n"), "{now}");
    for _ in 0..3 {
        screen.keys(Modifiers::COMMAND, Key::Z);
    }
    assert_eq!(screen.text(), before);
    screen.go("motors", "tag", Field::Value(0));
    screen.keys(Modifiers::SHIFT, Key::ArrowDown);
    screen.ask(Act::Delete);
    assert!(screen.text().contains("given Q in m³/h"), "{}", screen.text());
}

/// 3504 J stay joules in SI, and 9 ft·lbf are 12.20 J (NIST SP 811, appendix B: 1.355 818 J each); what is typed in kWh stays. A new workbook
/// says that a system is on.
#[test]
fn energies_are_shown_in_joules_in_si_and_a_system_that_is_on_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1
sheet a
  given E = 3504 J : energy
  given B = 12 kWh : energy
  given F = 9 ft·lbf : energy
";
    let (mut screen, _) = Screen::with(folder.path(), text);
    screen.ask(Act::InSi);
    let shown = |screen: &mut Screen, quantity: usize| {
        let seen = Seen::of(screen.window().session().unwrap(), 0)
            .unwrap()
            .shown_in(System::Si);
        let field = Field::Value(0);
        format!(
            "{} {}",
            seen.shown(Spot { quantity, field }, false).text,
            seen.unit(quantity)
        )
    };
    assert_eq!(
        [0, 1, 2].map(|quantity| shown(&mut screen, quantity)),
        ["3504 J", "12 kWh", "0.01220 kJ"]
    );
    screen.ask(Act::NewWorkbook);
    assert!(
        screen.has_part("Values are shown in SI units, as you chose before"),
        "{:?}",
        screen.labels()
    );
    // Shown otherwise, it is true no more.
    for (key, other) in [(Key::Num2, "SI units"), (Key::Num0, "US customary units")] {
        screen.keys(Modifiers::ALT, key);
        let told = format!("Values are shown in {other}");
        assert!(!screen.has_part(&told), "{:?}", screen.labels());
        if key == Key::Num2 {
            screen.ask(Act::NewWorkbook);
            assert!(
                screen.has_part("Values are shown in US customary units"),
                "{:?}",
                screen.labels()
            );
        }
    }
    screen.ask(Act::NewWorkbook);
    assert!(!screen.has_part("as you chose before"), "{:?}", screen.labels());
}

/// A bare number goes with every unit that is typed behind it: nothing warns of it, and none is offered in its stead.
#[test]
fn a_unit_typed_behind_a_bare_number_is_not_warned_of() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1\nsheet drive\n  given P_2 = 15\n  given eta = 0.9 : efficiency\n";
    let (mut screen, _) = Screen::with(folder.path(), text);
    screen.go("drive", "P_2", Field::Unit);
    screen.letters("kW");
    assert!(
        screen.has_part("15 becomes 15 kW") && !screen.has_part("is a unit of power, and"),
        "{:?}",
        screen.labels()
    );
    screen.key(Key::Enter);
    assert!(screen.text().contains("P_2 = 15 kW"), "{}", screen.text());
    // A share is one: it has no power.
    screen.go("drive", "eta", Field::Unit);
    screen.letters("kW");
    assert!(screen.has_part("kW is a unit of power, and"), "{:?}", screen.labels());
}

/// Several values of a plate, typed where their unit is shown, are told with a button for each.
#[test]
fn values_of_a_plate_without_their_unit_are_offered_with_it() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1\nsheet drive\n  given V = 400 V : voltage\n";
    let (mut screen, _) = Screen::with(folder.path(), text);
    screen.go("drive", "V", Field::Value(0));
    screen.letters("230/460");
    assert!(screen.has_part("two values of a plate"), "{:?}", screen.labels());
    screen.click("→ write 460 V");
    screen.key(Key::Enter);
    assert!(screen.text().contains("given V = 460 V"), "{}", screen.text());
}
