//! Results made by hand, as a worked workbook would give them. Invented data.

use std::sync::Arc;

use polepair::fault::{Code, Fault, Placed, Span, Stands};
use polepair::language::check::Sort;
use polepair::language::work::{Outcome, Value, WorkFault};
use polepair::quantity::{Number, Unit};
use polepair::recalc::{CheckResults, QuantityResults, Results, SheetResults, Verdict};
use polepair::workbook::{Form, Role, Rounding, Source, SourceWord};

/// A quantity in this unit, of no declared kind.
pub fn quantity_in(unit: &str) -> Sort {
    let unit = if unit.is_empty() {
        Unit::plain()
    } else {
        Unit::parse(unit).unwrap()
    };
    Sort::Quantity {
        dimension: unit.dimension,
        unit,
        kind: None,
        phasor: None,
    }
}

pub fn exact(text: &str) -> Outcome {
    Outcome::Value(Value::Number(Number::Exact(text.parse().unwrap())))
}

pub fn rounded(text: &str) -> Outcome {
    Outcome::Value(Value::Number(Number::Rounded(text.parse().unwrap())))
}

pub fn float(number: f64) -> Outcome {
    Outcome::Value(Value::Number(Number::Float(number)))
}

pub fn words(text: &str) -> Outcome {
    Outcome::Value(Value::Text(text.into()))
}

pub fn blank(why: &str) -> Outcome {
    Outcome::Blank(why.into())
}

pub fn failed(message: &str) -> Outcome {
    Outcome::Fault(Arc::new(WorkFault {
        code: Code::NO_MOTOR_TABLE,
        message: message.into(),
        help: None,
        passed_on: false,
    }))
}

pub fn quantity(role: Role, name: &str, title: &str, sort: Sort, cells: Vec<Outcome>) -> QuantityResults {
    QuantityResults {
        name: name.into(),
        title: title.to_owned(),
        role,
        sort,
        rounding: None,
        source: None,
        from: None,
        cells: cells.into(),
        own: Vec::new(),
        over: Vec::new(),
        notes: Vec::new(),
        bands: Vec::new(),
        tables: Vec::new(),
        typed: Vec::new(),
    }
}

pub fn verdict(holds: Option<bool>, margin: Option<&str>, why: Option<&str>) -> Verdict {
    Verdict {
        holds,
        in_doubt: false,
        sides: None,
        margin: margin.map(str::to_owned),
        least: None,
        why: why.map(Into::into),
    }
}

/// A worked sheet with two cases, everything in it once.
pub fn brine() -> SheetResults {
    let mut flow = quantity(
        Role::Given,
        "Q",
        "Brine flow",
        quantity_in("m³/h"),
        vec![exact("60"), exact("85.50")],
    );
    flow.source = Some(Source {
        word: SourceWord::Measured,
        text: Some("2 March".to_owned()),
    });
    let mut power = quantity(
        Role::Work,
        "P_sh",
        "Shaft power at the coupling",
        quantity_in("kW"),
        vec![
            rounded("5.013822464788732394366197183"),
            failed("the flow is not worked"),
        ],
    );
    power.rounding = Some(Rounding::Digits(3));
    let slip = quantity(
        Role::Seek,
        "s",
        "",
        quantity_in(""),
        vec![float(1.0 / 3.0), blank("n is missing")],
    );
    let medium = quantity(
        Role::Given,
        "medium",
        "",
        Sort::Text,
        vec![words("brine"), words("=water")],
    );
    SheetResults {
        name: "brine".into(),
        title: "Brine pump drive".to_owned(),
        form: Form::Sheet,
        items: vec![Arc::from("winter"), Arc::from("summer")].into(),
        quantities: vec![flow, power, slip, medium],
        checks: vec![CheckResults {
            text: "ten per cent in hand".to_owned(),
            formula: "P_n >= 1.1 * P_sh".into(),
            tables: Vec::new(),
            cells: vec![
                verdict(Some(true), Some("10 %"), None),
                verdict(None, None, Some("P_sh is not worked")),
            ],
        }],
        flags: Vec::new(),
        notes: vec!["Pump curve 7 of the maker.".to_owned()],
    }
}

/// A list of three motors that came from the rows 4, 5 and 7 of a sheet.
pub fn motors() -> SheetResults {
    let row = |rows: &[&str]| rows.iter().map(|row| exact(row)).collect();
    let mut rating = quantity(
        Role::Given,
        "P_r",
        "",
        quantity_in("kW"),
        vec![exact("15"), exact("7.5"), blank("P_r is missing")],
    );
    rating.from = Some("Rating".to_owned());
    let tag = quantity(
        Role::Given,
        "tag",
        "",
        Sort::Text,
        vec![words("P-101"), words("-P-102"), words("P-103")],
    );
    SheetResults {
        name: "motors".into(),
        title: "Plant-room motors".to_owned(),
        form: Form::List,
        items: vec![Arc::from("P-101"), Arc::from("-P-102"), Arc::from("P-103")].into(),
        quantities: vec![
            tag,
            quantity(Role::Given, "source_row", "", quantity_in(""), row(&["4", "5", "7"])),
            rating,
            quantity(
                Role::Work,
                "n_s",
                "Synchronous speed",
                quantity_in("r/min"),
                vec![exact("1500"), exact("1500"), exact("1500")],
            ),
            quantity(
                Role::Work,
                "load",
                "Load by slip",
                quantity_in("%"),
                vec![
                    rounded("62.857142857142857142857142857"),
                    float(-0.125),
                    blank("not worked: P_r is missing in row 3"),
                ],
            ),
        ],
        checks: vec![CheckResults {
            text: "load below 110 %".to_owned(),
            formula: "load < 110 %".into(),
            tables: Vec::new(),
            cells: vec![
                verdict(Some(true), Some("43 %"), None),
                verdict(Some(false), Some("-3.2 %"), None),
                verdict(None, None, Some("load is not worked")),
            ],
        }],
        flags: vec![CheckResults {
            text: "measure again".to_owned(),
            formula: "load < 0 %".into(),
            tables: Vec::new(),
            cells: vec![
                verdict(Some(false), None, None),
                verdict(Some(true), None, None),
                verdict(None, None, None),
            ],
        }],
        notes: Vec::new(),
    }
}

pub fn results() -> Results {
    let fault = Fault::new(Code::NO_MOTOR_TABLE, Span::new(3, 5), "found nothing").help("look again");
    Results {
        sheets: vec![brine(), motors()],
        faults: vec![Placed {
            fault,
            sheet: Some("brine".to_owned()),
            item: None,
            line: 7,
            column: 12,
            source: "work P_sh = 1".to_owned(),
            stands: Stands::Nowhere,
        }],
        ..Results::default()
    }
}
