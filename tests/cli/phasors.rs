//! Phasors and bands on the page, in the trace, in JSON, CSV and in the canonical text.

use std::fs;

use serde_json::{Value, json};

use crate::{folder_with, run_in};

const TEXT: &str = "polepair 1
sheet line \"Feeder\"
  given V = 230 V ∠ -30 deg : phase voltage
  given Z = 3 Ω + j*4 Ω : impedance
  work I = V / Z in A to 5 digits : phase current
  work I_r = V / Z in A to rectangular : phase current
  work P = re(V * conj(I)) in kW
";

#[test]
fn page_trace_json_csv_and_tidy() {
    let folder = folder_with("line.pole", TEXT);
    let work = |arguments: &[&str]| run_in(folder.path(), arguments).ends(0);

    // 230 V over 5 Ω at 53.13°: 46 A at −83.13°, that is 5.502 − j·45.67 A; the active power is 46² · 3 Ω = 6.348 kW.
    let page = work(&["work", "line.pole", "--trace"]);
    for line in [
        "230 ∠ -30 deg",
        "46.000 ∠ -83.13 deg",
        "5.502 - j*45.67",
        "= (230 V ∠ -30 deg) / (3 Ω + j*4 Ω) = 46.000 A ∠ -83.13 deg",
        "= re((230 V ∠ -30 deg) * conj(46.000 A ∠ -83.13 deg)) = 6.348 kW",
    ] {
        assert!(page.out.contains(line), "{line} is not on the page:\n{}", page.out);
    }

    let all = work(&["work", "line.pole", "--json"]).json();
    let quantities = &all["sheets"][0]["quantities"];
    assert_eq!(quantities[1]["phasor"], json!("rectangular"));
    assert_eq!(quantities[2]["phasor"], json!("polar"));
    assert_eq!(quantities[4].get("phasor"), None);
    let cell = &quantities[1]["cells"][0];
    assert_eq!(
        (&cell["value"], &cell["exact"], &cell["re"], &cell["im"], &cell["made"]),
        (
            &json!("3 + j*4"),
            &Value::Null,
            &json!("3"),
            &json!("4"),
            &json!("float")
        )
    );
    let current = &quantities[2]["cells"][0];
    assert_eq!(current["value"], json!("46.000 ∠ -83.13 deg"));
    let part = |name: &str| current[name].as_str().unwrap().parse::<f64>().unwrap();
    assert!((part("re").hypot(part("im")) - 46.0).abs() < 1e-12);

    work(&["export", "line.pole", "--to", "line.csv"]);
    let table = fs::read_to_string(folder.path().join("line.csv")).unwrap();
    assert!(table.contains("46.000 ∠ -83.13 deg"), "{table}");

    work(&["tidy", "line.pole"]);
    assert_eq!(fs::read_to_string(folder.path().join("line.pole")).unwrap(), TEXT);
}

const LOAD: &str = "polepair 1
sheet load
  given n_s = 1800 r/min : synchronous speed
  given n_r = 1760 r/min ± 20 % of (n_s - n_r) : rated speed plate
  given n = 1773 r/min +/- 2 r/min : measured speed
  work load = (n_s - n) / (n_s - n_r) in % : load
  check load <= 80 % \"not overloaded\"
";

#[test]
fn bands_on_the_page_in_the_trace_and_in_json() {
    let folder = folder_with("load.pole", LOAD);
    // A check in doubt is no check that holds.
    let page = run_in(folder.path(), &["work", "load.pole", "--trace"]).ends(1);
    for line in [
        "1760 (1752 … 1768)",
        "68 (52 … 91)",
        "in doubt",
        "= 68 % (52 … 91)",
        "n_r causes 89 % of the band, alone 56 … 85; n causes 11 % of the band",
    ] {
        assert!(page.out.contains(line), "{line} is not on the page:\n{}", page.out);
    }
    let all = run_in(folder.path(), &["work", "load.pole", "--json"]).ends(1).json();
    let cell = &all["sheets"][0]["quantities"][3]["cells"][0];
    assert_eq!(cell["value"], json!("68"));
    assert_eq!(cell["exact"], json!("67.5"));
    // (1800 − 1775)/48 and (1800 − 1771)/32.
    assert_eq!(
        cell["band"],
        // Alone: 27/48 and 27/32 of the plate speed, 25/40 and 29/40 of the measured one; widths 28.125 and 10, by their squares.
        json!({"low": "52.0833333333333", "high": "90.625", "how": "corners", "causes": [
            {"input": "load.n_r", "low": "56.25", "high": "84.375", "part": 0.887769},
            {"input": "load.n", "low": "62.5", "high": "72.5", "part": 0.112231},
        ]})
    );
    assert_eq!(all["sheets"][0]["checks"][0]["cells"][0]["holds"], json!("in doubt"));
    run_in(folder.path(), &["tidy", "load.pole"]).ends(0);
    let tidy = fs::read_to_string(folder.path().join("load.pole")).unwrap();
    assert_eq!(tidy, LOAD);
}

/// A value without limits although it rests on tolerances says why, on the page as in the trace.
#[test]
fn a_missing_band_is_told() {
    let text = LOAD
        .replace("given n = 1773", "given n = 1799")
        .replace("(n_s - n) / (n_s - n_r) in %", "load_by_slip(n_s, n, n_r) in %");
    let folder = folder_with("load.pole", &text);
    let said = "no band: somewhere within the tolerances the measured speed is above";
    for arguments in [&["work", "load.pole"][..], &["work", "load.pole", "--trace"]] {
        let page = run_in(folder.path(), arguments).ends(0);
        let words = page.out.split_whitespace().collect::<Vec<_>>().join(" ");
        assert!(words.contains(said), "{words}");
    }
}

/// A value typed with its tolerance in a row is no formula of its own.
#[test]
fn a_typed_tolerance_in_a_row_is_a_value() {
    let text = "polepair 1\nlist motors\n  given tag : text\n  given n in r/min : measured speed\n  rows tag | n\n    \
                \"a\" | 1478 r/min ± 2 r/min\n    \"b\" | 1471 r/min\n";
    let folder = folder_with("m.pole", text);
    let page = run_in(folder.path(), &["work", "m.pole"]).ends(0);
    assert!(
        page.out.contains("1478 (1476 … 1480)") && !page.out.contains('*'),
        "{}",
        page.out
    );
    let own = text.replace("1471 r/min\n", "2 * 700 r/min\n");
    let folder = folder_with("m.pole", own);
    run_in(folder.path(), &["work", "m.pole"])
        .ends(0)
        .says("1400*")
        .says("* has a formula of its own");
}

/// A number typed for one case or row of what is worked is marked. By hand: 5 kW over 100 /s are 50 N·m, 40 N·m half of 80.
#[test]
fn a_number_among_worked_ones_is_marked() {
    let text = "polepair 1\nsheet a\n  cases low | mid\n  given P = 5 kW | 6 kW\n  given w = 100 rad/s\n  \
                work T = P / w | 99 N·m in N·m\n  work eta = 0.9 | 0.8\n";
    let folder = folder_with("m.pole", text);
    let page = run_in(folder.path(), &["work", "m.pole"]).ends(0);
    let line = page
        .out
        .lines()
        .find(|line| line.contains("99"))
        .unwrap_or_default()
        .to_owned();
    assert!(line.contains("50 ") && line.contains("99*"), "{}", page.out);
    assert_eq!(page.out.matches('*').count(), 2, "{}", page.out);
    page.says("* has a formula or a number of its own");
    let list = "polepair 1\nlist m\n  given tag : text\n  given T in N·m\n  work H = T / 2 in N·m\n  rows tag | T\n    \"a\" | 80 N·m\n    \
                \"b\" | 60 N·m\n  at \"b\" H = 12 N·m\n";
    let folder = folder_with("m.pole", list);
    run_in(folder.path(), &["work", "m.pole"])
        .ends(0)
        .says("40")
        .says("12*");
}
