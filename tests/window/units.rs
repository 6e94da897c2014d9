//! What is said beside the grid, in the units that are shown: doubts of a list, why a check or a plot was not worked; and what a result of
//! a list rests on.

use polepair::window::command::Act;
use polepair::window::spot::Field;

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
