//! The object of `work --json`: the shape is a promise to other programs, written out here field by field.

use polepair::handover::json::{TRACED_CELLS, Traces, Worked, text, write};
use polepair::recalc::{Results, SheetResults};
use polepair::workbook::{Form, Role};
use serde_json::{Value, json};

use crate::worked::{exact, quantity, quantity_in, results};

fn object(results: &Results, traces: Traces) -> Value {
    let trace = |sheet: &SheetResults, quantity: usize, item: usize| {
        Some(format!("{} of {}", sheet.quantities[quantity].name, sheet.items[item]))
    };
    let worked = Worked {
        title: "Ice rink plant room",
        results,
        trace: &trace,
        traces,
    };
    let mut written = Vec::new();
    write(&worked, &mut written).unwrap();
    let written = String::from_utf8(written).unwrap();
    assert_eq!(
        written,
        text(&worked).unwrap() + "\n",
        "one object and a line end, however it is written"
    );
    serde_json::from_str(&written).unwrap()
}

#[test]
fn every_field_of_a_worked_sheet() {
    let all = object(&results(), Traces::Usual);
    let expected = json!({
        "name": "brine", "title": "Brine pump drive", "form": "sheet", "items": ["winter", "summer"],
        "quantities": [
            {"name": "Q", "kind": null, "unit": "m³/h", "role": "given", "cells": [
                {"value": "60", "exact": "60", "made": "decimal", "band": null, "blank": null, "fault": null,
                 "source": "measured \"2 March\"", "trace": null},
                {"value": "85.5", "exact": "85.5", "made": "decimal", "band": null, "blank": null, "fault": null,
                 "source": "measured \"2 March\"", "trace": null}]},
            {"name": "P_sh", "kind": null, "unit": "kW", "role": "work", "cells": [
                {"value": "5.01", "exact": "5.013822464788732394366197183", "made": "decimal", "band": null, "blank": null,
                 "fault": null, "source": null, "trace": "P_sh of winter"},
                {"value": null, "exact": null, "made": null, "band": null, "blank": null,
                 "fault": "no-motor-table", "source": null, "trace": "P_sh of summer"}]},
            {"name": "s", "kind": null, "unit": "1", "role": "seek", "cells": [
                {"value": "0.3333", "exact": "0.333333333333333", "made": "float", "band": null, "blank": null,
                 "fault": null, "source": null, "trace": "s of winter"},
                {"value": null, "exact": null, "made": null, "band": null, "blank": "n is missing",
                 "fault": null, "source": null, "trace": "s of summer"}]},
            {"name": "medium", "kind": "text", "unit": null, "role": "given", "cells": [
                {"value": "brine", "exact": null, "made": null, "band": null, "blank": null, "fault": null, "source": null,
                 "trace": null},
                {"value": "=water", "exact": null, "made": null, "band": null, "blank": null, "fault": null, "source": null,
                 "trace": null}]}
        ],
        "checks": [{"text": "ten per cent in hand", "cells": [
            {"holds": "yes", "margin": "10 %"}, {"holds": "not worked", "margin": null}]}]
    });
    assert_eq!(all["workbook"], "Ice rink plant room");
    assert_eq!(all["sheets"][0], expected);
    assert_eq!(
        all["faults"],
        json!([{"code": "no-motor-table", "severity": "error", "sheet": "brine", "item": null, "line": 7, "column": 12,
                "message": "found nothing", "help": "look again"}])
    );
    assert_eq!(
        all.as_object().unwrap().keys().collect::<Vec<_>>(),
        ["faults", "sheets", "workbook"]
    );
}

/// Why a value has no limits stands with the value, in the trace as well as without; nothing where there is nothing to say.
#[test]
fn the_reason_for_missing_limits_is_handed_over() {
    let engine = polepair::recalc::Engine::new(polepair::workbook::text::read(
        "polepair 1\nsheet s\n  cases a | b\n  given x = 1 ± 2 | 3 ± 1 : ratio\n  work y = 1 / x\n  work z = sqrt(x - 0.5)\n",
    ));
    let all = object(engine.results(), Traces::Usual);
    let cells = |quantity: usize| all["sheets"][0]["quantities"][quantity]["cells"].clone();
    assert_eq!(
        cells(1)[0]["note"],
        "no band: somewhere within the tolerances the divisor is zero"
    );
    assert_eq!(cells(1)[0]["band"], Value::Null);
    assert!(cells(1)[1].get("note").is_none());
    assert_eq!(cells(1)[1]["band"]["low"], "0.25");
    assert_eq!(
        cells(2)[0]["note"],
        "no band: somewhere within the tolerances there is no real result, such as the root of a number below zero"
    );
}

#[test]
fn a_list_has_its_checks_and_flags() {
    let all = object(&results(), Traces::Omitted);
    let list = &all["sheets"][1];
    assert_eq!(list["form"], "list");
    assert_eq!(list["items"], json!(["P-101", "-P-102", "P-103"]));
    assert_eq!(
        list["checks"][0]["cells"][1],
        json!({"holds": "no", "margin": "-3.2 %"})
    );
    assert_eq!(list["flags"][0]["cells"][1], json!({"holds": "yes", "margin": null}));
    assert_eq!(list["quantities"][4]["cells"][1]["exact"], "-0.125");
    assert_eq!(list["quantities"][4]["cells"][1]["trace"], Value::Null);
}

#[test]
fn numbers_are_decimal_strings_that_read_back_as_what_they_were() {
    let cells = [
        "79228162514264337593543950335",
        "-0.0000000000000000000000000001",
        "1500.00",
        "1e3",
    ];
    let numbers = [cells[0], cells[1], cells[2], "1000"].map(exact).to_vec();
    let mut all = results();
    all.sheets[0].quantities = vec![quantity(Role::Work, "x", "", quantity_in("kW"), numbers)];
    let all = object(&all, Traces::Omitted);
    for (cell, expected) in all["sheets"][0]["quantities"][0]["cells"]
        .as_array()
        .unwrap()
        .iter()
        .zip(cells)
    {
        for field in ["value", "exact"] {
            let text = cell[field].as_str().unwrap();
            assert!(text.chars().all(|c| c.is_ascii_digit() || "-.e".contains(c)), "{text}");
        }
        let (found, expected): (f64, f64) = (
            cell["exact"].as_str().unwrap().parse().unwrap(),
            expected.parse().unwrap(),
        );
        assert_eq!(found, expected);
    }
}

/// The trace of a list is written up to a size, that of a sheet always.
#[test]
fn traces_of_large_lists_only_when_asked_for() {
    let count = TRACED_CELLS + 1;
    let mut large = results();
    large.sheets.truncate(1);
    large.sheets[0].items = (0..count).map(|item| item.to_string().into()).collect();
    large.sheets[0].quantities = vec![quantity(
        Role::Work,
        "x",
        "",
        quantity_in("kW"),
        vec![exact("1"); count],
    )];
    let last = |results: &Results, traces| {
        object(results, traces)["sheets"][0]["quantities"][0]["cells"][count - 1]["trace"].clone()
    };
    assert_eq!(last(&large, Traces::Usual), format!("x of {}", count - 1));
    large.sheets[0].form = Form::List;
    assert_eq!(last(&large, Traces::Usual), Value::Null);
    assert_eq!(last(&large, Traces::All), format!("x of {}", count - 1));
    assert_eq!(last(&large, Traces::Omitted), Value::Null);
}
