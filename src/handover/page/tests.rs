//! The page of results made by hand, read and judged by eye.

#![allow(clippy::unwrap_used, clippy::indexing_slicing)]

use std::str::FromStr as _;
use std::sync::Arc;

use rust_decimal::Decimal;

use super::*;
use crate::fault::{Code, Fault, Span, Stands};
use crate::language::work::WorkFault;
use crate::quantity::{Dimension, Factor, Unit};
use crate::recalc::{Accepted, CheckResults, SheetResults, Verdict};
use crate::workbook::Form;

fn unit(text: &str) -> Sort {
    Sort::Quantity {
        dimension: Dimension::NONE,
        unit: Unit {
            text: Arc::from(text),
            dimension: Dimension::NONE,
            factor: Arc::new(Factor::one()),
            offset: None,
            kind: None,
        },
        kind: None,
        phasor: None,
    }
}

fn typed(text: &str) -> Outcome {
    Outcome::Value(Value::Number(Number::Exact(Decimal::from_str(text).unwrap())))
}

fn worked(text: &str) -> Outcome {
    Outcome::Value(Value::Number(Number::Rounded(Decimal::from_str(text).unwrap())))
}

fn words(text: &str) -> Outcome {
    Outcome::Value(Value::Text(Arc::from(text)))
}

fn blank(why: &str) -> Outcome {
    Outcome::Blank(Arc::from(why))
}

fn quantity(role: Role, name: &str, title: &str, sort: Sort, cells: &[Outcome]) -> QuantityResults {
    QuantityResults {
        name: Arc::from(name),
        title: title.to_owned(),
        role,
        sort,
        rounding: None,
        source: None,
        from: None,
        cells: cells.to_vec().into(),
        own: Vec::new(),
        over: Vec::new(),
        notes: Vec::new(),
        bands: Vec::new(),
        tables: Vec::new(),
        typed: Vec::new(),
    }
}

fn from(mut quantity: QuantityResults, word: SourceWord, text: Option<&str>) -> QuantityResults {
    quantity.source = Some(Source {
        word,
        text: text.map(str::to_owned),
    });
    quantity
}

fn verdict(holds: Option<bool>, value: &str, limit: &str, margin: &str) -> Verdict {
    Verdict {
        holds,
        in_doubt: false,
        sides: Some((value.to_owned(), limit.to_owned())),
        margin: Some(margin.to_owned()).filter(|m| !m.is_empty()),
        least: None,
        why: None,
    }
}

fn sheet(form: Form, items: &[&str], quantities: Vec<QuantityResults>) -> SheetResults {
    SheetResults {
        name: Arc::from("mill"),
        title: "Mill water".to_owned(),
        form,
        items: items.iter().map(|i| Arc::from(*i)).collect::<Vec<Arc<str>>>().into(),
        quantities,
        checks: Vec::new(),
        flags: Vec::new(),
        notes: Vec::new(),
    }
}

fn set(results: &Results, width: usize) -> String {
    let workbook = Workbook {
        title: "Rolling mill".to_owned(),
        ..Workbook::default()
    };
    let look = Look {
        width,
        colour: false,
        file: Some("mill.pole"),
    };
    page(&workbook, results, &look)
}

#[test]
fn a_worked_sheet_with_two_cases() {
    let mut mill = sheet(
        Form::Sheet,
        &["winter", "summer"],
        vec![
            from(
                quantity(
                    Role::Given,
                    "Q",
                    "Water flow",
                    unit("m³/h"),
                    &[typed("60"), typed("85.50")],
                ),
                SourceWord::Measured,
                Some("2 March"),
            ),
            from(
                quantity(
                    Role::Given,
                    "eta",
                    "Pump efficiency",
                    unit("%"),
                    &[typed("71"), typed("71")],
                ),
                SourceWord::Assumed,
                None,
            ),
            quantity(
                Role::Given,
                "n",
                "",
                unit("r/min"),
                &[typed("1478"), blank("not given")],
            ),
            quantity(
                Role::Work,
                "P_sh",
                "Shaft power at the coupling",
                unit("kW"),
                &[worked("5.014"), worked("7.103")],
            ),
            quantity(
                Role::Work,
                "s",
                "Slip",
                unit("%"),
                &[worked("1.467"), blank("n is not given for summer")],
            ),
            quantity(
                Role::Work,
                "x",
                "",
                unit("1"),
                &[
                    worked("2"),
                    Outcome::Fault(Arc::new(WorkFault {
                        code: Code::DIVISION_BY_ZERO,
                        message: "n_r is zero".into(),
                        help: None,
                        passed_on: false,
                    })),
                ],
            ),
        ],
    );
    mill.checks.push(CheckResults {
        text: "ten per cent in hand".to_owned(),
        formula: Arc::from("P_n >= 1.1*P_sh"),
        tables: Vec::new(),
        cells: vec![
            verdict(Some(true), "5.5 kW", "5.515 kW", "36 %"),
            verdict(Some(false), "7.5 kW", "7.813 kW", "-4 %"),
        ],
    });
    let results = Results {
        sheets: vec![mill],
        faults: Vec::new(),
        accepted: Vec::new(),
    };
    let expected = "\
Rolling mill

Mill water                                                              sheet mill
──────────────────────────────────────────────────────────────────────────────────
                                        winter  summer
  ›  Q     Water flow                       60   85.50   m³/h   measured \"2 March\"
  ›  eta   Pump efficiency                  71      71   %      assumed
  ›  n                                    1478       —   r/min
  =  P_sh  Shaft power at the coupling   5.014   7.103   kW
  =  s     Slip                          1.467       ∅¹  %
  =  x                                       2       !²
  ¹ s: n is not given for summer [summer]
  ² x: n_r is zero [summer]

     check                          value     limit  margin
  ✓  ten per cent in hand  winter  5.5 kW  5.515 kW  36 %
  ✗                        summer  7.5 kW  7.813 kW  -4 %

  Assumed: eta (Pump efficiency)

› given   = worked   — not given   ∅ not worked, the note says why   ! fault

Care: Measuring on live or turning machines is for people trained and authorised
      to do it. Results are estimates for qualified people; plate, maker's data
      and local code govern.

✗ 1 of 2 checks does not hold
";
    let text = set(&results, 82);
    assert_eq!(text, expected, "\n{text}");
    // In colour the same letters stand in the same places.
    let look = Look {
        width: 82,
        colour: true,
        file: None,
    };
    let workbook = Workbook {
        title: "Rolling mill".to_owned(),
        ..Workbook::default()
    };
    let coloured = page(&workbook, &results, &look);
    assert_ne!(coloured, text);
    let bare = anstream::adapter::strip_str(&coloured).to_string();
    let trimmed: Vec<&str> = bare.lines().map(str::trim_end).collect();
    assert_eq!(trimmed, expected.lines().collect::<Vec<_>>());
}

/// A list of `rows` motors; every seventh has no measured speed.
fn list(rows: usize) -> SheetResults {
    let items: Vec<String> = (1..=rows).map(|i| format!("P-{i:03}")).collect();
    let names: Vec<&str> = items.iter().map(String::as_str).collect();
    let column = |cell: &dyn Fn(usize) -> Outcome| (0..rows).map(cell).collect::<Vec<_>>();
    let remark = "a long remark that nobody reads to its end";
    sheet(
        Form::List,
        &names,
        vec![
            quantity(
                Role::Given,
                "tag",
                "Tag",
                Sort::Text,
                &items.iter().map(|i| words(i)).collect::<Vec<_>>(),
            ),
            quantity(
                Role::Given,
                "P_r",
                "Rating",
                unit("kW"),
                &column(&|i| typed(if i % 3 == 0 { "7.5" } else { "15" })),
            ),
            quantity(
                Role::Given,
                "n",
                "Speed",
                unit("r/min"),
                &column(&|i| if i % 7 == 0 { blank("") } else { typed("1471") }),
            ),
            quantity(Role::Given, "note", "Remark", Sort::Text, &column(&|_| words(remark))),
            quantity(
                Role::Work,
                "load",
                "Load by slip",
                unit("%"),
                &column(&|i| {
                    if i % 7 == 0 {
                        blank("n is not given")
                    } else {
                        worked("82.86")
                    }
                }),
            ),
        ],
    )
}

#[test]
fn a_list_of_a_few_rows() {
    let mut motors = list(3);
    motors.quantities[1].own = vec![1];
    motors.flags.push(CheckResults {
        text: "lightly loaded".to_owned(),
        formula: Arc::from("load < 90 %"),
        tables: Vec::new(),
        cells: vec![
            verdict(None, "", "", ""),
            verdict(Some(true), "", "", ""),
            verdict(Some(false), "", "", ""),
        ],
    });
    let results = Results {
        sheets: vec![motors],
        faults: Vec::new(),
        accepted: Vec::new(),
    };
    let expected = "\
Rolling mill

Mill water                                           list mill, 3 rows
──────────────────────────────────────────────────────────────────────
  ›  tag   Tag
  ›  P_r   Rating        kW
  ›  n     Speed         r/min
  ›  note  Remark
  =  load  Load by slip  %

  tag    › P_r     › n  › note                      = load
            kW   r/min                                   %
  P-001    7.5       —  a long remark that nobody…       ∅¹
  P-002   15*     1471  a long remark that nobody…   82.86
  P-003   15      1471  a long remark that nobody…   82.86
  ¹ load: n is not given [P-001]

  ▲ lightly loaded: P-002

› given   = worked   — not given   ∅ not worked, the note says why
* has a formula of its own
";
    let text = set(&results, 70);
    assert_eq!(text, expected, "\n{text}");
}

#[test]
fn a_long_list_shows_head_and_tail_and_says_what_is_left_out() {
    let mut motors = list(70);
    motors.checks.push(CheckResults {
        text: "loaded".to_owned(),
        formula: Arc::from("load > 50 %"),
        tables: Vec::new(),
        cells: (0..70)
            .map(|i| {
                verdict(
                    if i % 7 == 0 { None } else { Some(i % 30 != 5) },
                    "40 %",
                    "50 %",
                    "-20 %",
                )
            })
            .collect(),
    });
    let text = set(
        &Results {
            sheets: vec![motors],
            faults: Vec::new(),
            accepted: Vec::new(),
        },
        100,
    );
    for part in [
        "P-040",
        "… 20 rows left out; all rows: polepair export mill.pole --to all.xlsx",
        "P-061",
        "P-070",
        "smallest",
        "largest",
        "loaded: holds for 58 of 70, 10 not worked",
        "[P-001, P-008, P-015, P-022, P-029, P-036 and 4 more]",
        "✗ 2 of 70 checks do not hold, 10 not worked",
    ] {
        assert!(text.contains(part), "{part} is missing in\n{text}");
    }
    assert!(!text.contains("P-041 ") && !text.contains("P-060 "), "\n{text}");
    let widest = text.lines().map(table::width).max().unwrap();
    assert!(widest <= 100, "{widest}\n{text}");
}

#[test]
fn settled_warnings_and_faults_stand_at_the_end() {
    let source = "  work load = (n_s - n) / (n_s - n_rr)  in %";
    let place = source.find("n_rr").unwrap();
    let fault = Placed {
        fault: Fault::new(
            Code::UNKNOWN_NAME,
            Span::new(place, place + 4),
            "n_rr is not known in this list",
        )
        .help("did you mean n_r?"),
        sheet: Some("mill".to_owned()),
        item: None,
        line: 12,
        column: u32::try_from(place).unwrap() + 1,
        source: source.to_owned(),
        stands: Stands::Nowhere,
    };
    let results = Results {
        sheets: vec![list(1)],
        faults: vec![fault.clone()],
        accepted: vec![Accepted {
            placed: fault,
            reason: "the plate is worn off".to_owned(),
        }],
    };
    let text = set(&results, 80);
    let end = "
Accepted by the author
  ~ line 12, unknown-name: n_rr is not known in this list. Reason: the plate is
    worn off

error: n_rr is not known in this list
   ╭▸ mill.pole:12:34
   │
12 │   work load = (n_s - n) / (n_s - n_rr)  in %
   │                                  ━━━━
   │
   ├ try: did you mean n_r?
   ╰ more: polepair explain unknown-name

! 1 fault
";
    assert!(text.ends_with(end), "\n{text}");
}

#[test]
fn texts_from_outside_cannot_steer_the_terminal() {
    let mut motors = list(1);
    motors.title = "\u{1b}[2J".to_owned();
    motors.items = vec![Arc::from("\u{1b}]0;x\u{7}")].into();
    motors.quantities[3].cells = vec![words("a\nb\u{1b}[31m")].into();
    motors.quantities[3].from = Some("\u{9b}1m".to_owned());
    motors.notes.push("\u{1b}c".to_owned());
    let text = set(
        &Results {
            sheets: vec![motors],
            faults: Vec::new(),
            accepted: Vec::new(),
        },
        80,
    );
    assert!(text.chars().all(|c| c == '\n' || !c.is_control()), "{text:?}");
}
