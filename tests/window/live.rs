//! What is said of a text while it is typed, before it is taken in: what it would be, what it gives, why it is refused.

use eframe::egui::{Key, Modifiers};
use polepair::window::command::Act;
use polepair::window::spot::Field;

use crate::Screen;
use crate::grid::workbook;

const CTRL: Modifiers = Modifiers::COMMAND;

/// Types over what stands at a place; what is said of it, and what is offered.
fn typed(screen: &mut Screen, at: (&str, &str, Field), text: &str) -> (Vec<String>, Vec<String>) {
    screen.go(at.0, at.1, at.2);
    screen.letters(text);
    let offered = screen.offered().into_iter().map(|(word, _)| word).collect();
    (screen.labels(), offered)
}

fn says(labels: &[String], part: &str) -> bool {
    labels.iter().any(|label| label.contains(part))
}

/// Every field says at the place, before Enter, why a text cannot stand there, and offers what can.
#[test]
fn what_cannot_stand_in_a_field_is_said_while_it_is_typed() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    for (quantity, field, text, said, fix, becomes) in [
        ("H", Field::Symbol, "T n", "has a blank in it", "→ write T_n", "T_n"),
        (
            "H",
            Field::Symbol,
            "in",
            "`in` is a word of the language",
            "→ write in_1",
            "in_1",
        ),
        (
            "H",
            Field::Symbol,
            "Q",
            "there is a quantity `Q` already, Brine flow",
            "→ write Q_2",
            "Q_2",
        ),
        (
            "H",
            Field::Symbol,
            "pi",
            "a constant of the language",
            "→ write pi_1",
            "pi_1",
        ),
        (
            "H",
            Field::Source,
            "nameplate",
            "write `plate`",
            "→ write plate",
            "plate",
        ),
        (
            "H",
            Field::Source,
            "manufacturer curve 7",
            "write `maker`",
            "→ write maker \"curve 7\"",
            "maker \"curve 7\"",
        ),
        (
            "Q",
            Field::Kind,
            "vol",
            "kinds of what is in m³/h: volume flow",
            "→ write volume flow",
            "volume flow",
        ),
        ("H", Field::Unit, "nonsense", "units of length: m", "→ write ft", "ft"),
    ] {
        let (labels, _) = typed(&mut screen, ("brine", quantity, field), text);
        assert!(says(&labels, said), "{field:?} {text}: {labels:?}");
        assert!(!says(&labels, "gives"), "{field:?} {text}: {labels:?}");
        screen.click(fix);
        assert_eq!(screen.window().typing(), Some(becomes), "{text}");
        assert!(!screen.has_part(said), "{text}: {:?}", screen.labels());
        screen.key(Key::Escape);
    }
    // What was said is why it is refused, once.
    let before = screen.text();
    screen.go("brine", "H", Field::Symbol);
    screen.enter("T n");
    screen.go("brine", "H", Field::Symbol);
    let mut said: Vec<String> = screen.labels();
    said.retain(|label| label.contains("has a blank in it"));
    said.dedup();
    assert_eq!((said.len(), screen.text()), (1, before), "{said:?}");
    screen.click("→ write T_n");
    screen.key(Key::Enter);
    assert!(screen.text().contains("rho * g_n * Q * T_n / eta"), "{}", screen.text());
    // What has no source of its own says so.
    let (labels, _) = typed(&mut screen, ("brine", "P_sh", Field::Source), "plate");
    assert!(says(&labels, "P_sh is worked and has no source"), "{labels:?}");
}

/// What can stand there says what it will be.
#[test]
fn what_a_text_will_be_is_said_in_every_field() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    // 60 m³/h in litres a second, by hand: 60 000 / 3600.
    for (quantity, field, text, said) in [
        ("H", Field::Symbol, "H_2", "H_2; the line that reads it follows"),
        ("H", Field::Label, "Height", "the label, in words"),
        ("Q", Field::Unit, "L/s", "60 m³/h is 16.67 L/s"),
        ("P_sh", Field::Kind, "power", "power: "),
        ("H", Field::Source, "plate, IE3", "plate \"IE3\": read off the plate"),
        ("H", Field::Unit, "kW", "△ kW is a unit of power, and H is in m"),
        ("H", Field::Kind, "shaft power", "△ shaft power is in kW, and H is in m"),
    ] {
        let (labels, _) = typed(&mut screen, ("brine", quantity, field), text);
        assert!(says(&labels, said), "{field:?} {text}: {labels:?}");
        assert!(!says(&labels, "✕"), "{field:?} {text}: {labels:?}");
        screen.key(Key::Escape);
    }
    screen.go("brine", "H", Field::Source);
    screen.enter("plate, IE3");
    assert!(screen.text().contains("\"Head\" plate \"IE3\""), "{}", screen.text());
}

/// Words of a source, kinds and units of what the value measures; nothing where the word is whole.
#[test]
fn what_fits_is_offered_and_goes_where_the_word_is_whole() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    let offered = |screen: &mut Screen, quantity: &str, field: Field, text: &str| -> Vec<String> {
        let (_, offered) = typed(screen, ("brine", quantity, field), text);
        screen.key(Key::Escape);
        offered
    };
    let sources = offered(&mut screen, "H", Field::Source, "me");
    assert!(sources[0].starts_with("measured"), "{sources:?}");
    // A volume flow is no voltage, although its letters are nearer.
    let kinds = offered(&mut screen, "Q", Field::Kind, "vo");
    assert!(kinds.len() == 1 && kinds[0].starts_with("volume flow"), "{kinds:?}");
    let units = offered(&mut screen, "Q", Field::Unit, "L");
    assert!(
        units.iter().any(|unit| unit.starts_with("L/s")) && units.iter().all(|unit| unit.contains('/')),
        "{units:?}"
    );
    for (quantity, field, text) in [
        ("H", Field::Value(0), "50 mm"),
        ("H", Field::Unit, "mm"),
        ("P_sh", Field::Formula, "rho"),
        ("P_sh", Field::Formula, "5 kW"),
        ("Q", Field::Kind, "volume flow"),
        ("H", Field::Source, "plate"),
    ] {
        let open = offered(&mut screen, quantity, field, text);
        assert!(open.is_empty(), "{field:?} {text}: {open:?}");
    }
}

/// 1210 kg/m³ · 9.80665 m/s² · 60 m³/h · 18 m / 71 % by hand: 5.014 kW, with 85 m³/h 7.103 kW, which is 9.525 hp of 745.699 9 W.
#[test]
fn the_value_of_a_formula_is_told_while_it_is_typed() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    let formula = "rho * g_n * Q * H / eta";
    let (labels, _) = typed(&mut screen, ("brine", "P_sh", Field::Formula), formula);
    let both = "gives 5.014 kW in winter, 7.103 kW in summer: shaft power";
    assert!(says(&labels, both), "{labels:?}");
    // Half typed there is no value, and the old one is not said of the new text.
    screen.letters(" *");
    assert!(!screen.has_part("gives"), "{:?}", screen.labels());
    screen.letters(" 2");
    assert!(screen.has_part("gives 10.03 kW in winter"), "{:?}", screen.labels());
    screen.key(Key::Escape);
    let (labels, _) = typed(&mut screen, ("brine", "P_sh", Field::Value(1)), formula);
    assert!(says(&labels, "gives 7.103 kW: shaft power"), "{labels:?}");
    screen.key(Key::Escape);
    screen.ask(Act::InUs);
    let (labels, _) = typed(&mut screen, ("brine", "P_sh", Field::Value(1)), formula);
    assert!(says(&labels, "gives 9.525 hp"), "{labels:?}");
    screen.key(Key::Escape);
    screen.ask(Act::AsWritten);
    // What does not fit gives nothing, what cannot be worked says why, what goes in a circle is no value.
    let (labels, _) = typed(&mut screen, ("brine", "H", Field::Value(0)), "18 kW");
    assert!(says(&labels, "is a power") && !says(&labels, "gives"), "{labels:?}");
    screen.key(Key::Escape);
    let (labels, _) = typed(
        &mut screen,
        ("brine", "P_sh", Field::Value(0)),
        "5 kW / (H - 18 m) * (1 m)",
    );
    assert!(says(&labels, "✕") && !says(&labels, "gives"), "{labels:?}");
    screen.key(Key::Escape);
    let (labels, _) = typed(&mut screen, ("brine", "H", Field::Value(0)), "18 m * P_sh / (5 kW)");
    assert!(!says(&labels, "gives 18"), "{labels:?}");
    screen.key(Key::Escape);
    // A list tells the row; the whole line tells its value.
    let (labels, _) = typed(&mut screen, ("motors", "n_s", Field::Value(1)), "f / p / 2");
    assert!(says(&labels, "gives 750 r/min"), "{labels:?}");
    screen.key(Key::Escape);
    screen.go("brine", "rho", Field::Label);
    screen.keys(Modifiers::SHIFT, Key::F2);
    screen.keys(CTRL, Key::A);
    screen.letters("given rho = 1000 kg/m³ + 10 kg/m³ : density");
    assert!(screen.has_part("gives 1010 kg/m³"), "{:?}", screen.labels());
}

/// Names of cases and sheets are looked at while they are written.
#[test]
fn a_name_that_is_taken_is_said_while_it_is_written() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    screen.go("brine", "H", Field::Value(0));
    screen.ask(Act::InsertCase);
    screen.letters("summer");
    assert!(
        screen.has_part("there is a case `summer` already"),
        "{:?}",
        screen.labels()
    );
    screen.click("→ write summer 2");
    assert!(!screen.has_part("already"), "{:?}", screen.labels());
    screen.click("Do it");
    assert!(
        screen.text().contains("cases winter | summer 2 | summer"),
        "{}",
        screen.text()
    );
    screen.ask(Act::RenameSheet);
    screen.keys(CTRL, Key::A);
    screen.letters("two words");
    assert!(screen.has_part("write `two_words`"), "{:?}", screen.labels());
}

/// The name of a line that is typed anew as a whole, or of a new one, is looked at while it is typed, at the name: it is not another
/// one's, and is not captured by the variable of a curve that reads it.
#[test]
fn the_name_of_a_whole_line_is_looked_at() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1
sheet load
  given T_n = 30 N·m : torque
  given n_r = 1450 r/min : shaft speed
  curve T_L(n : shaft speed) in N·m = T_n * (n / n_r)
";
    let (mut screen, _) = Screen::with(folder.path(), text);
    let text = screen.text();
    for (line, said) in [
        ("given n_r = 30 N·m : torque", "the name `n_r` is taken"),
        ("given T_L = 30 N·m : torque", "the name `T_L` is taken"),
        ("given n = 30 N·m : torque", "`n` means something else there"),
    ] {
        screen.go("load", "T_n", Field::Label);
        screen.keys(Modifiers::SHIFT, Key::F2);
        screen.keys(CTRL, Key::A);
        screen.letters(line);
        assert!(screen.has_part(said), "{line}: {:?}", screen.labels());
        screen.key(Key::Enter);
        assert!(screen.has_part(said), "{line}: {:?}", screen.labels());
        screen.key(Key::Escape);
        assert_eq!(screen.text(), text, "{line}");
    }
    // Its own name, and one that is free.
    for line in ["given T_n = 31 N·m : torque", "given T_1 = 32 N·m : torque"] {
        screen.go("load", "T_n", Field::Label);
        screen.keys(Modifiers::SHIFT, Key::F2);
        screen.keys(CTRL, Key::A);
        screen.letters(line);
        assert!(!screen.has_part("✕"), "{line}: {:?}", screen.labels());
        screen.key(Key::Enter);
        assert!(screen.text().contains(line), "{line}: {}", screen.text());
    }
    assert!(screen.text().contains("= T_1 * (n / n_r)"), "{}", screen.text());
    // The same at the symbol alone.
    screen.go("load", "T_1", Field::Symbol);
    screen.key(Key::F2);
    screen.keys(CTRL, Key::A);
    screen.letters("n");
    assert!(
        screen.has_part("`n` means something else there"),
        "{:?}",
        screen.labels()
    );
    screen.key(Key::Escape);
    // In the panel of lines too.
    screen.key(Key::F11);
    screen.letters("given n_r = 2 N·m");
    assert!(screen.has_part("the name `n_r` is taken"), "{:?}", screen.labels());
}

/// Who deletes what others read is told who asks for it, and one key brings it back.
#[test]
fn what_is_deleted_says_who_asks_for_it() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    let before = screen.text();
    screen.go("brine", "H", Field::Value(0));
    screen.ask(Act::Delete);
    assert!(
        screen.has_part("H deleted; 1 formula asks for it: P_sh. Ctrl+Z takes it back."),
        "{:?}",
        screen.labels()
    );
    screen.keys(CTRL, Key::Z);
    assert_eq!(screen.text(), before);
    screen.go("motors", "f", Field::Symbol);
    screen.ask(Act::Delete);
    assert!(screen.has_part("1 formula asks for it: n_s"), "{:?}", screen.labels());
    // What nobody reads goes without a word of it.
    screen.go("brine", "P_sh", Field::Value(0));
    screen.ask(Act::Delete);
    assert!(
        screen.has_part("P_sh deleted; 1 formula asks for it: check P_sh"),
        "{:?}",
        screen.labels()
    );
    screen.go("motors", "s_r", Field::Symbol);
    screen.ask(Act::Delete);
    assert!(!screen.has_part("s_r deleted"), "{:?}", screen.labels());
}

/// Filling down leaves lines of another kind as they are, and says which.
#[test]
fn filling_down_leaves_what_is_of_another_kind() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1\nsheet a\n  given H = 18 m : height\n  given L = 2 m : length\n  given v = 3 m/s : speed\n  given B = 5 m : length\n";
    let (mut screen, _) = Screen::with(folder.path(), text);
    screen.go("a", "H", Field::Value(0));
    for _ in 0..3 {
        screen.keys(Modifiers::SHIFT, Key::ArrowDown);
    }
    screen.keys(CTRL, Key::D);
    let text = screen.text();
    assert!(
        text.contains("L = 18 m") && text.contains("v = 3 m/s") && text.contains("B = 18 m"),
        "{text}"
    );
    assert!(screen.has_part("v stays as it is"), "{:?}", screen.labels());
    // Where nothing fits nothing is done.
    screen.go("a", "L", Field::Value(0));
    screen.keys(Modifiers::SHIFT, Key::ArrowDown);
    screen.keys(CTRL, Key::D);
    assert_eq!(screen.text(), text);
    assert!(screen.has_part("v stays as it is"), "{:?}", screen.labels());
}

/// A line that cannot be read says so while it is typed; what was said of it goes with it.
#[test]
fn a_new_line_is_looked_at_while_it_is_typed() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(2));
    screen.go("brine", "H", Field::Value(0));
    screen.key(Key::F11);
    screen.letters("chek P_sh > 3 kW");
    let begin = "a line cannot begin with `chek`";
    assert!(screen.has_part(begin), "{:?}", screen.labels());
    screen.key(Key::Enter);
    let said: Vec<String> = screen
        .labels()
        .into_iter()
        .filter(|label| label.contains(begin))
        .collect();
    assert!(
        !said.is_empty() && said.iter().all(|label| *label == said[0]),
        "{said:?}"
    );
    screen.key(Key::Escape);
    assert!(!screen.has_part(begin), "{:?}", screen.labels());
    screen.key(Key::F11);
    screen.letters("check P_sh > 3 m");
    assert!(screen.has_part("`3 m`"), "{:?}", screen.labels());
    screen.key(Key::Backspace);
    screen.letters("kW");
    assert!(!screen.has_part("✕"), "{:?}", screen.labels());
    screen.key(Key::Enter);
    assert!(screen.text().contains("check P_sh > 3 kW"), "{}", screen.text());
}

/// Faults and what mends them are said in the units that are shown: 90 kW over 745.699 9 W are 120.7 hp, 50 kW are 67.05 hp.
#[test]
fn faults_are_said_in_the_units_that_are_shown() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1\nsheet a\n  curve c(P : shaft power) in % through (10 kW, 80 %), (50 kW, 90 %)\n  given P = 90 kW : shaft power\n  work  eta = c(P)\n  given Q = 5 : shaft power\n  given R = 5 m : shaft power\n  given T = 40 N·m : torque\n  work w = P + T\n";
    let (mut screen, _) = Screen::with(folder.path(), text);
    screen.key(Key::F7);
    for (act, asked, until, unit) in [
        (Act::AsWritten, "asked at 90 kW", "50 kW", "kW"),
        (Act::InUs, "asked at 120.7 hp", "67.05 hp", "hp"),
        (Act::InSi, "asked at 90 kW", "50 kW", "kW"),
    ] {
        screen.ask(act);
        assert!(
            screen.has_part(asked) && screen.has_part(until),
            "{:?}",
            screen.labels()
        );
        let wanted = format!("does not become a shaft power in {unit}");
        assert!(screen.has_part(&wanted), "{:?}", screen.labels());
        assert!(screen.has(&format!("→ write 5 {unit}")), "{:?}", screen.labels());
    }
    // What is offered is what is written; so are the units of what meets.
    screen.ask(Act::InUs);
    let meet = "is a torque (lbf·ft) and `P` is a shaft power (hp); the two cannot be added";
    assert!(screen.has_part(meet), "{:?}", screen.labels());
    screen.go("a", "R", Field::Value(0));
    screen.letters("P + T");
    let count = screen.labels().iter().filter(|label| label.contains(meet)).count();
    assert!(count > 1, "{:?}", screen.labels());
    screen.key(Key::Escape);
    screen.click("→ write 5 hp");
    assert!(screen.text().contains("given Q = 5 hp"), "{}", screen.text());
    screen.go("a", "eta", Field::Value(0));
    assert!(screen.has_part("asked at 120.7 hp"), "{:?}", screen.labels());
}

/// So is why a text is no condition for the rows of a list.
#[test]
fn a_condition_is_refused_in_the_units_that_are_shown() {
    let folder = tempfile::tempdir().unwrap();
    let text =
        "polepair 1\nlist m\n  given tag : text\n  given P in kW : shaft power\n  rows tag | P\n    \"a\" | 5 kW\n";
    let (mut screen, _) = Screen::with(folder.path(), text);
    screen.ask(Act::InUs);
    screen.go("m", "P", Field::Value(0));
    screen.ask(Act::Filter);
    screen.answer("P > 5 N·m");
    let refused = "is a torque (lbf·ft) and `P` is a shaft power (hp); the two cannot be compared";
    assert!(screen.has_part(refused), "{:?}", screen.labels());
}

/// What leads back to itself is told while it is typed, in one case too; an equation is looked at as one.
#[test]
fn a_circle_and_an_equation_are_looked_at_while_they_are_typed() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1\nsheet a\n  cases x | y\n  given v = 3 m/s | 4 m/s : speed\n  work d = 2 * v\n  given r = 1 m : length\n\
        sheet b\n  given n_s = 1500 r/min : shaft speed\n  given n : shaft speed\n  curve T_M(n : shaft speed) = torque_by_breakdown(slip(n_s, n), 260 N·m, 15 %)\n\
        list c\n  given tag : text\n  work s = previous(s) + 1 else 1\n  rows tag\n    \"p\"\n    \"q\"\n";
    let (mut screen, _) = Screen::with(folder.path(), text);
    let (labels, _) = typed(&mut screen, ("a", "v", Field::Value(0)), "2*v");
    assert!(says(&labels, "the names lead back to themselves: v → v"), "{labels:?}");
    screen.key(Key::Escape);
    let (labels, _) = typed(&mut screen, ("a", "v", Field::Value(1)), "d/2");
    assert!(
        says(&labels, "the names lead back to themselves: v → d → v"),
        "{labels:?}"
    );
    screen.key(Key::Escape);
    let (labels, _) = typed(&mut screen, ("a", "r", Field::Value(0)), "v * 1 s");
    assert!(!says(&labels, "lead back"), "{labels:?}");
    screen.key(Key::Escape);
    // From row to row is no circle.
    let (labels, _) = typed(&mut screen, ("c", "s", Field::Formula), "previous(s) + 2 else 1");
    assert!(!says(&labels, "lead back"), "{labels:?}");
    screen.key(Key::Escape);
    // Enter takes an equation, and so does what is said of it before.
    let equation = "such that T_M(n) = 60 N·m between 1300 r/min and 1499 r/min";
    let (labels, _) = typed(&mut screen, ("b", "n", Field::Value(0)), equation);
    assert!(!says(&labels, "✕") && says(&labels, "gives: "), "{labels:?}");
    screen.key(Key::Escape);
    let (labels, _) = typed(
        &mut screen,
        ("b", "n", Field::Value(0)),
        "such that T_M(n) = 60 kW between 1300 r/min and 1499 r/min",
    );
    assert!(says(&labels, "✕"), "{labels:?}");
    screen.key(Key::Escape);
    let (labels, _) = typed(
        &mut screen,
        ("b", "n", Field::Value(0)),
        "such that T_Q(n) = 60 N·m between 1300 r/min and 1499 r/min",
    );
    assert!(says(&labels, "T_Q"), "{labels:?}");
    screen.key(Key::Escape);
}

/// A name is offered in place of an unknown one only where it can stand there.
#[test]
fn only_names_that_fit_are_offered_for_an_unknown_one() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1\nsheet a\n  given S = 8 kV·A : apparent power\n  given s_1 = 3 % : slip\n  given f = 50 Hz\n  work f_2 = s_1 * f in Hz : frequency\n";
    let (mut screen, _) = Screen::with(folder.path(), text);
    let (labels, _) = typed(&mut screen, ("a", "f_2", Field::Formula), "s * f");
    assert!(says(&labels, "`s` is not known here"), "{labels:?}");
    assert!(!says(&labels, "→ write S") && !says(&labels, "`S`"), "{labels:?}");
    screen.key(Key::Escape);
    let (labels, _) = typed(&mut screen, ("a", "f_2", Field::Formula), "s1 * f");
    assert!(says(&labels, "→ write s_1"), "{labels:?}");
    screen.key(Key::Escape);
    // The same where the line goes.
    screen.go("a", "s_1", Field::Label);
    screen.ask(Act::Delete);
    screen.key(Key::F7);
    assert!(
        screen.has_part("`s_1` is not known here") && !screen.has_part("→ write S"),
        "{:?}",
        screen.labels()
    );
}

/// What goes, or takes the place of what was worked, is said once, with the key that brings it back.
#[test]
fn what_is_replaced_or_taken_away_is_said() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(3));
    let before = screen.text();
    for (said, done) in [
        (
            "n_s of M-1 is typed now and not worked any more",
            Box::new(|screen: &mut Screen| {
                screen.go("motors", "n_s", Field::Value(0));
                screen.enter("1480 r/min");
            }) as Box<dyn Fn(&mut Screen)>,
        ),
        (
            "3 rows deleted. Ctrl+Z brings them back.",
            Box::new(|screen: &mut Screen| {
                screen.go("motors", "p", Field::Value(0));
                screen.ask(Act::ChooseAll);
                screen.ask(Act::Delete);
            }),
        ),
        (
            "Case winter deleted with its values. Ctrl+Z brings it back.",
            Box::new(|screen: &mut Screen| {
                screen.go("brine", "Q", Field::Value(0));
                screen.ask(Act::DeleteCase);
            }),
        ),
        (
            "Motors deleted. Ctrl+Z brings it back.",
            Box::new(|screen: &mut Screen| {
                screen.go("motors", "p", Field::Value(0));
                screen.ask(Act::DeleteSheet);
            }),
        ),
        (
            "deleted; 1 formula asks for them: check P_sh",
            Box::new(|screen: &mut Screen| {
                screen.go("brine", "Q", Field::Value(0));
                screen.ask(Act::ChooseAll);
                screen.ask(Act::Delete);
            }),
        ),
    ] {
        done(&mut screen);
        assert_ne!(screen.text(), before);
        assert!(screen.has_part(said), "{said}: {:?}", screen.labels());
        screen.keys(CTRL, Key::Z);
        assert_eq!(screen.text(), before, "{said}");
    }
}

/// A word typed before its column is one of texts is a text afterwards.
#[test]
fn words_typed_before_the_kind_text_are_texts() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1\nlist c\n  given tag : text\n  given who\n  rows tag | who\n    \"p\" |\n    \"q\" |\n";
    let (mut screen, _) = Screen::with(folder.path(), text);
    screen.go("c", "who", Field::Value(0));
    screen.enter("Meyer");
    screen.enter("Huber");
    screen.go("c", "who", Field::Kind);
    screen.enter("text");
    let text = screen.text();
    assert!(
        text.contains("\"p\" | \"Meyer\"") && text.contains("\"q\" | \"Huber\""),
        "{text}"
    );
    assert!(
        screen.hears("who p").is_some_and(|said| !said.contains("failed")),
        "{:?}",
        screen.hears("who p")
    );
}

/// With a place beside the values chosen nothing that is wrong is said as if it were the result.
#[test]
fn a_fault_is_no_result_beside_the_values() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1\nsheet a\n  cases x | y\n  given v = 3 m/s : speed\n  work d = 2 * v,\n";
    let (mut screen, _) = Screen::with(folder.path(), text);
    for field in [Field::Unit, Field::Kind, Field::Source, Field::Label] {
        screen.go("a", "d", field);
        let labels = screen.labels();
        assert!(
            !labels.iter().any(|label| label.starts_with("= ")),
            "{field:?} {labels:?}"
        );
    }
}

/// The groups of a list are worked from it: marked so, said so, and called as in words.
#[test]
fn the_groups_of_a_list_are_worked() {
    let folder = tempfile::tempdir().unwrap();
    let (mut screen, _) = Screen::with(folder.path(), &workbook(3));
    screen.go("motors", "p", Field::Value(0));
    screen.ask(Act::Group);
    screen.go("motors_by_p", "p", Field::Value(0));
    assert!(
        screen.hears("p 4 pole").is_some_and(|said| said.ends_with("worked")),
        "{:?}",
        screen.labels()
    );
    let labels = screen.labels();
    assert!(
        says(
            &labels,
            "the groups are the different values of motors.p; they are typed there"
        ),
        "{labels:?}"
    );
    assert!(!says(&labels, "typed: ") && says(&labels, "Motors by p"), "{labels:?}");
    // A unit without a word for what it measures is told once.
    screen.go("brine", "H", Field::Value(0));
    screen.letters("rho / 2");
    assert!(!says(&screen.labels(), "m^-3"), "{:?}", screen.labels());
    screen.key(Key::Escape);
}

/// A formula with a unit behind it is told in that unit, not in the one that its line has so far.
#[test]
fn what_is_wanted_in_a_unit_is_told_in_it() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1\nsheet a\n  given P = 1500 W : shaft power\n  work Q = 2 * P in W : shaft power\n";
    let (mut screen, _) = Screen::with(folder.path(), text);
    for field in [Field::Value(0), Field::Formula] {
        let (labels, _) = typed(&mut screen, ("a", "Q", field), "3 * P in kW");
        assert!(says(&labels, "4.5 kW"), "{labels:?}");
        assert!(!says(&labels, "in W") && !says(&labels, "4500 W"), "{labels:?}");
        screen.key(Key::Escape);
    }
}

/// What names what it gives is looked at while it is typed, in a line that holds nothing and in the open line: its faults at their places,
/// what it gives, and the names and functions that could stand there.
#[test]
fn a_line_that_names_what_it_gives_is_looked_at_while_it_is_typed() {
    let folder = tempfile::tempdir().unwrap();
    let text = "polepair 1\nsheet a\n  given T = 64 N·m : torque\n  given n = 1472 r/min : shaft speed\n  given x\n";
    for field in [Field::Label, Field::Symbol] {
        let (mut screen, _) = Screen::with(folder.path(), text);
        for open in [false, true] {
            screen.go("a", "x", field);
            if open {
                screen.key(Key::ArrowDown);
            }
            screen.letters("bad = T * q");
            assert!(says(&screen.labels(), "`q` is not known"), "{:?}", screen.labels());
            screen.key(Key::Escape);
            screen.letters("Q = T * n in kVA");
            assert!(says(&screen.labels(), "kVA"), "{:?}", screen.labels());
            let labels = screen.labels();
            assert!(
                labels
                    .iter()
                    .any(|label| label.contains("is a power") || label.contains("apparent power")),
                "{labels:?}"
            );
            screen.key(Key::Escape);
            // 64 N·m times 1472 r/min is a power.
            screen.letters("P_s = T * n");
            assert!(says(&screen.labels(), "and its value: "), "{:?}", screen.labels());
            screen.key(Key::Escape);
            screen.letters("P_n = next_ra");
            let offered: Vec<String> = screen.offered().into_iter().map(|(word, _)| word).collect();
            assert!(offered.iter().any(|word| word.contains("next_rating")), "{offered:?}");
            screen.key(Key::Escape);
            screen.key(Key::Escape);
        }
        // A name that is written wrongly makes no label of the line.
        screen.go("a", "x", field);
        screen.enter("P_n = next_ra");
        let text = screen.text();
        assert!(
            text.contains("P_n = next_ra") && !text.contains('"'),
            "{field:?}: {text}"
        );
    }
}
