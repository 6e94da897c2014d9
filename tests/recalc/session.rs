//! The one door: commands, undo and redo, the journal.

use polepair::session::{Command, Session};
use polepair::workbook::change::{Change, Place};

const TEXT: &str = "polepair 1

sheet drive
  given f = 50 Hz : frequency
  given p = 4 pole : poles
  work  n_s = f / p in r/min
";

fn set(quantity: &str, text: &str) -> Change {
    Change::SetValue {
        sheet: "drive".into(),
        quantity: quantity.into(),
        case: None,
        text: text.into(),
    }
}

fn speed(session: &Session) -> f64 {
    session.results().sheets[0].quantities[2].cells[0]
        .as_number()
        .unwrap()
        .to_f64()
}

#[test]
fn undo_and_redo() {
    let mut session = Session::open(TEXT);
    let first = session.text();
    assert!(!session.is_changed());
    session.apply(Command::one("set f", set("f", "60 Hz"))).unwrap();
    session
        .apply(Command {
            label: "two poles, 50 Hz".into(),
            changes: vec![set("p", "2 pole"), set("f", "50 Hz")],
        })
        .unwrap();
    assert_eq!(
        (speed(&session), session.undo_label()),
        (3000.0, Some("two poles, 50 Hz"))
    );
    assert!(session.is_changed());
    session.undo().unwrap().unwrap();
    assert_eq!(
        (speed(&session), session.redo_label()),
        (1800.0, Some("two poles, 50 Hz"))
    );
    session.undo().unwrap().unwrap();
    assert_eq!((speed(&session), session.text()), (1500.0, first));
    assert!(!session.is_changed());
    assert!(session.undo().unwrap().is_none());
    session.redo().unwrap().unwrap();
    session.redo().unwrap().unwrap();
    assert_eq!(speed(&session), 3000.0);
    assert!(session.redo().unwrap().is_none());
    // A new command forgets what could be redone.
    session.undo().unwrap().unwrap();
    session.apply(Command::one("set f", set("f", "40 Hz"))).unwrap();
    assert!(session.redo().unwrap().is_none());
}

#[test]
fn a_command_is_done_whole_or_not_at_all() {
    let mut session = Session::open(TEXT);
    let before = session.text();
    let refused = session.apply(Command {
        label: "half".into(),
        changes: vec![set("f", "60 Hz"), set("nothing_here", "1 kW")],
    });
    assert!(refused.is_err());
    assert_eq!(
        (session.text(), speed(&session), session.is_changed()),
        (before, 1500.0, false)
    );
}

#[test]
fn saved_state_that_can_no_longer_be_reached() {
    let mut session = Session::open(TEXT);
    session.apply(Command::one("set f", set("f", "60 Hz"))).unwrap();
    session.saved();
    assert!(!session.is_changed());
    session.undo().unwrap();
    assert!(session.is_changed());
    session.apply(Command::one("set f", set("f", "40 Hz"))).unwrap();
    assert!(session.is_changed());
}

#[test]
fn the_journal_leads_from_the_first_text_to_the_last() {
    let mut session = Session::open(TEXT);
    let first = session.text();
    session.apply(Command::one("set f", set("f", "60 Hz"))).unwrap();
    session
        .apply(Command::one(
            "note",
            Change::InsertLine {
                place: Place::Line(0, 0),
                before: "".into(),
                text: "note \"looked at\"".into(),
            },
        ))
        .unwrap();
    session.apply(Command::one("set p", set("p", "6 pole"))).unwrap();
    let journal = session.journal();
    assert_eq!(journal.len(), 3);
    assert_eq!(journal[0].label, "set f");
    let text = journal.iter().fold(first, |text, patch| patch.apply(&text).unwrap());
    assert_eq!(text, session.text());
    let stored = serde_json::to_string(&journal).unwrap();
    let again: Vec<polepair::session::Patch> = serde_json::from_str(&stored).unwrap();
    assert_eq!(again, journal);
    assert_eq!(journal[0].apply("another text\n"), None);
}

#[test]
fn a_trace_names_what_a_result_rests_on() {
    let session = Session::open(
        "polepair 1\nsheet site\n  given f = 50 Hz : frequency \"Supply\" measured \"2 March\"\nsheet drive\n  \
         given p = 4 pole : poles plate\n  given s : slip\n  work n_s = synchronous_speed(site.f, p) in r/min\n  \
         work s_1 = s else 2 %\n  work n = n_s * (1 - s_1) in r/min\n",
    );
    let trace = session.trace("drive", "n", 0).unwrap();
    assert_eq!(trace.formula, "n_s * (1 - s_1)");
    assert_eq!(trace.result, "1470 r/min");
    assert!(
        trace.substituted.starts_with("1500 r/min * (1 - "),
        "{}",
        trace.substituted
    );
    let rests: Vec<(&str, &str, &str)> = trace
        .rests_on
        .iter()
        .map(|on| (&*on.sheet, &*on.name, &*on.value))
        .collect();
    assert!(
        rests.contains(&("site", "f", "50 Hz")) && rests.contains(&("drive", "p", "4 pole")),
        "{rests:?}"
    );
    let on = trace.rests_on.iter().find(|on| &*on.name == "f").unwrap();
    assert_eq!(
        (on.title.as_str(), on.source.as_ref().unwrap().text.as_deref()),
        ("Supply", Some("2 March"))
    );
    let trace = session.trace("drive", "s_1", 0).unwrap();
    assert_eq!(trace.note.as_deref(), Some("took 2 %, because s is blank"));
    let trace = session.trace("drive", "n_s", 0).unwrap();
    assert_eq!(trace.substituted, "synchronous_speed(50 Hz, 4 pole)");
    assert!(trace.note.unwrap().contains("synchronous_speed(f, p) = "));
    assert_eq!(session.trace("drive", "nothing", 0), None);
}

/// Limits follow an edit as values do, also where the value stays: by hand 2 · (49 … 51) Hz and 2 · (48 … 52) Hz.
#[test]
fn limits_of_results_follow_an_edit() {
    let mut session = Session::open(&format!("{TEXT}  work g = 2 * f in Hz\n"));
    let limits = |session: &Session| {
        let band = session.results().sheets[0].quantities[3].band(0).cloned();
        band.map(|band| (band.low, band.high))
    };
    assert_eq!(limits(&session), None);
    session.apply(Command::one("set f", set("f", "50 Hz ± 1 Hz"))).unwrap();
    assert_eq!(limits(&session), Some((98.0, 102.0)));
    session.apply(Command::one("set f", set("f", "50 Hz ± 2 Hz"))).unwrap();
    assert_eq!(limits(&session), Some((96.0, 104.0)));
    session.apply(Command::one("set f", set("f", "50 Hz"))).unwrap();
    assert_eq!(limits(&session), None);
}

#[test]
fn a_trace_leaves_out_refusals_where_there_is_a_value() {
    let text = "polepair 1\nsheet s\n  cases part | fast | none\n  given n = 1474 r/min | 1510 r/min | 1500 r/min : measured speed\n  \
                given n_s = 1500 r/min : synchronous speed\n  given n_r = 1460 r/min : rated speed\n  \
                define half(x) = x / 2 when x > 10, otherwise refuse(\"too small\")\n  \
                define named(x) = refuse(\"nothing\") when x <= 0, (x + 1) / (x + 2) when (x > 5), otherwise (x)\n  \
                work load = load_by_slip(n_s, n, n_r) : load\n  work a = half(12)\n  work b = named(7)\n";
    let session = Session::open(text);
    let definitions = |name: &str, item: usize| session.trace("s", name, item).unwrap().note.unwrap();
    assert_eq!(
        definitions("load", 0),
        "load_by_slip(n_s, n, n_r) = (n_s - n) / (n_s - n_r)"
    );
    // What was refused stands there with all its reasons.
    let refused = definitions("load", 1);
    assert!(
        refused.contains("refuse(\"the measured speed is above the synchronous speed"),
        "{refused}"
    );
    assert_eq!(definitions("a", 0), "half(x) = x / 2 when x > 10");
    assert_eq!(
        definitions("b", 0),
        "named(x) = (x + 1) / (x + 2) when (x > 5), otherwise (x)"
    );
}

#[test]
fn of_a_choice_the_part_that_was_taken_is_worked() {
    let session = Session::open(
        "polepair 1\nsheet s\n  given a = 3 kW : shaft power\n  given b = 5 kW : shaft power\n  given c : shaft power\n  \
         work x = a + b when a > b, 2*(a + b) when a = 3 kW, otherwise refuse(\"none\")\n  work y = (c else a + b) in W\n",
    );
    let trace = session.trace("s", "x", 0).unwrap();
    assert_eq!(trace.formula, "a + b when a > b, 2*(a + b) when a = 3 kW");
    assert_eq!(trace.substituted, "2*(3 kW + 5 kW)");
    assert_eq!(trace.note.as_deref(), Some("took 2*(a + b), because a = 3 kW"));
    let trace = session.trace("s", "y", 0).unwrap();
    assert_eq!(trace.substituted, "3 kW + 5 kW");
    assert_eq!(trace.result, "8000 W");
}
