//! The shipped worked sheets against a calculation by hand: plain decimal arithmetic with each conversion written out, from the
//! handbook's formulas, sharing nothing with the program. JSON in, one number at a time.

use std::str::FromStr as _;

use rust_decimal::{Decimal, MathematicalOps as _};
use serde_json::Value;

use super::run;

fn d(text: &str) -> Decimal {
    Decimal::from_str(text).unwrap()
}

/// π to the 28 digits a decimal holds.
fn pi() -> Decimal {
    d("3.1415926535897932384626433833")
}

/// The exact value of a cell and its unit.
fn cell(json: &Value, sheet: &str, name: &str, item: usize) -> (Decimal, String) {
    let sheets = json["sheets"].as_array().unwrap();
    let sheet = sheets.iter().find(|s| s["name"] == sheet).unwrap();
    let quantities = sheet["quantities"].as_array().unwrap();
    let quantity = quantities
        .iter()
        .find(|q| q["name"] == name)
        .unwrap_or_else(|| panic!("{name}"));
    let cell = &quantity["cells"][item];
    let exact = cell["exact"]
        .as_str()
        .unwrap_or_else(|| panic!("{name} is not worked: {cell}"));
    let value = Decimal::from_str(exact)
        .or_else(|_| Decimal::from_scientific(exact))
        .unwrap();
    (value, quantity["unit"].as_str().unwrap_or("").to_owned())
}

#[track_caller]
fn expect(json: &Value, sheet: &str, name: &str, item: usize, by_hand: Decimal, unit: &str) {
    let (value, in_unit) = cell(json, sheet, name, item);
    assert_eq!(in_unit, unit, "{name}");
    let off = ((value - by_hand) / by_hand).abs();
    assert!(off < d("0.000000000001"), "{name}: {value} instead of {by_hand} {unit}");
}

fn verdicts(json: &Value, sheet: usize) -> Vec<String> {
    let checks = json["sheets"][sheet]["checks"].as_array().unwrap();
    let cells = checks.iter().flat_map(|c| c["cells"].as_array().unwrap());
    cells.map(|c| c["holds"].as_str().unwrap().to_owned()).collect()
}

/// Resistances of a belt conveyor as in DIN 22101 and ISO 5048 (formulas from memory): C·f·L·g·(m_R + (2·m_B + m_L)·cos δ) for
/// friction, m_L·H·g for the lift. Ratings: IEC 60072-1 series.
#[test]
fn conveyor_drive() {
    let json = run(&["work", "workbooks/conveyor-drive.pole", "--json"]).ends(0).json();
    let g = d("9.80665");
    for (item, mass_flow, friction) in [(0, "180", "0.022"), (1, "220", "0.026")] {
        let expect = |name: &str, by_hand: Decimal, unit: &str| expect(&json, "drive", name, item, by_hand, unit);
        // t/h to kg/s is 1000/3600.
        let m_l = d(mass_flow) * d("1000") / d("3600") / d("1.6");
        expect("m_L", m_l, "kg/m");
        // Slope: sine 12/80, so cosine √(1 − 0.15²).
        let sine = d("12") / d("80");
        let cosine = (Decimal::ONE - sine * sine).sqrt().unwrap();
        let f_f = d("1.92") * d(friction) * d("80") * g * (d("18") + (d("2") * d("9.5") + m_l) * cosine);
        expect("F_f", f_f, "N");
        let f_h = m_l * d("12") * g;
        expect("F_h", f_h, "N");
        let f = f_f + f_h;
        expect("F", f, "N");
        let p_b = f * d("1.6") / d("1000");
        expect("P_b", p_b, "kW");
        let p_sh = p_b / d("0.92");
        expect("P_sh", p_sh, "kW");
        // 1.1 × 10.3 kW and 1.1 × 12.9 kW both lie above 11 kW and not above 15 kW.
        assert!(d("1.1") * p_sh > d("11") && d("1.1") * p_sh <= d("15"));
        expect("P_n", d("15"), "kW");
        // Pulley of 500 mm: v = ω·D/2, and 60/2π from rad/s to r/min.
        let w_d = d("2") * d("1.6") / d("0.5");
        expect("w_d", w_d, "rad/s");
        let n_d = w_d * d("60") / (d("2") * pi());
        expect("n_d", n_d, "r/min");
        let (ratio, _) = cell(&json, "drive", "i", item);
        assert!((ratio - d("1470") / n_d).abs() < d("0.0000000001"), "{ratio}");
        let t_n = d("15000") / (d("2") * pi() * d("1470") / d("60"));
        expect("T_n", t_n, "N·m");
        let t_d = f * d("0.5") / d("2");
        expect("T_d", t_d, "N·m");
        assert!(t_n * d("1470") / n_d * d("0.92") >= d("1.1") * t_d);
    }
    assert_eq!(verdicts(&json, 0), ["yes"; 6]);
}

/// Speed of the field 60·f/pole pairs, slip, P = 2π·n·T/60, S = √3·U·I: any handbook of electrical machines.
#[test]
fn small_motor() {
    let json = run(&["work", "workbooks/small-motor.pole", "--json"]).ends(0).json();
    let expect = |name: &str, by_hand: Decimal, unit: &str| expect(&json, "motor", name, 0, by_hand, unit);
    let percent = d("100");
    let n_s = d("60") * d("50") / d("2");
    expect("n_s", n_s, "r/min");
    let slip = (n_s - d("1430")) / n_s;
    expect("s", slip * percent, "%");
    expect("f_2", slip * d("50"), "Hz");
    let p_sh = d("2") * pi() * d("1430") / d("60") * d("9.8") / d("1000");
    expect("P_sh", p_sh, "kW");
    expect("eta", p_sh / d("1.83") * percent, "%");
    let s = d("3").sqrt().unwrap() * d("400") * d("3.4") / d("1000");
    expect("S", s, "kVA");
    expect("load_P", p_sh / d("1.5") * percent, "%");
    expect("load_n", d("70") / d("75") * percent, "%");
    let (pf, _) = cell(&json, "motor", "pf", 0);
    assert!((pf - d("1.83") / s).abs() < d("0.000000000001"), "{pf}");
    assert_eq!(verdicts(&json, 0), ["yes"; 4]);
}

#[test]
fn shipped_workbooks_are_tidy_and_well() {
    let mut seen = 0;
    for entry in std::fs::read_dir(super::root().join("workbooks")).unwrap() {
        let path = entry.unwrap().path();
        if path.extension().is_some_and(|e| e == "pole") {
            seen += 1;
            let name = path.to_string_lossy().into_owned();
            run(&["work", &name]).ends(0);
            run(&["tidy", &name, "--check"]).ends(0);
        }
    }
    assert!(seen >= 2);
}

/// Values read by hand in NEC 430.250 (65, 96, 14 A), 430.52 (250 % for an inverse-time breaker), 240.6(A) (…, 150, 175, …, 225, 250,
/// …), 430.32(A)(1) (125 and 115 %), 430.24, 430.62; NEMA MG 1 10.37.2 (G below 6.3, H below 7.1 kVA/hp), 12.35.1 (725, 1085 and 162 A
/// at 230 V), figure 14-1 (0.97 at 1.5 %, 0.95 at 2 %), MG 10 Table 2-3, 12.54, Table 12-12; Siemens application manual (0.94 at 2000 m
/// and 40 °C, the next listed pair above 1800 m and 38 °C). A horsepower is 550 ft·lbf/s = 0.7456998715822702 kW.
#[test]
fn feeder_check() {
    let json = run(&["work", "workbooks/feeder-check.pole", "--json"]).ends(0).json();
    let motors = [
        // hp, table current, breaker, plate current, overload, kVA/hp, 230 V locked rotor, starts A, B, load, limit of load, efficiency
        (
            "50", "65", "175", "58", "1.25", "6.3", "725", "6.8", "232", "180", "232", "94.5",
        ),
        (
            "75", "96", "250", "85", "1.25", "6.3", "1085", "5.8", "338", "240", "338", "95.4",
        ),
        (
            "10", "14", "35", "12.6", "1.15", "7.1", "162", "12.5", "51", "9", "51", "91.7",
        ),
    ];
    let root_three = d("3").sqrt().unwrap();
    for (item, motor) in motors.into_iter().enumerate() {
        let (hp, i_fl, breaker, plate, overload, kva, lr, a, b, load, j, eta) = motor;
        let expect = |name: &str, by_hand: Decimal, unit: &str| expect(&json, "motors", name, item, by_hand, unit);
        expect("I_fl", d(i_fl), "A");
        expect("I_c", d(i_fl) * d("1.25"), "A");
        expect("I_b", d(i_fl) * d("2.5"), "A");
        expect("I_std", d(breaker), "A");
        expect("I_ol", d(plate) * d(overload), "A");
        expect("I_lr", d(kva) * d(hp) * d("1000") / (root_three * d("460")), "A");
        expect("I_lim", d(lr) / d("2"), "A");
        expect("eta_p", d(eta), "%");
        let k_u = d("0.97") - d("0.02") * d("2") / d("5");
        expect("k_u", k_u, "1");
        expect("k_s", d("0.94"), "1");
        expect("P_site", d(hp) * k_u * d("0.94"), "hp");
        expect("starts", d(a).min(d(b) / d(load)), "1/h");
        expect("J_max", d(j), "lb·ft²");
    }
    let expect = |name: &str, by_hand: &str| expect(&json, "feeder", name, 0, d(by_hand), "A");
    // 65 + 96 + 14 = 175; 175 + 24 = 199; 250 + 65 + 14 = 329, below it stands 300.
    expect("I_all", "175");
    expect("I_big", "96");
    expect("I_c", "199");
    expect("I_dev", "329");
    expect("I_f", "300");
    assert_eq!(verdicts(&json, 0), ["yes"; 12]);

    // What a value rests on stands with it.
    let quantity = |name: &str| -> Value {
        let quantities = json["sheets"][0]["quantities"].as_array().unwrap();
        quantities.iter().find(|q| q["name"] == name).unwrap().clone()
    };
    let table = &quantity("I_fl")["tables"][0];
    assert_eq!(table["name"], "nec_430_250");
    assert!(table["edition"].as_str().unwrap().contains("2023, Table 430.250"));
    let trace = quantity("I_fl")["cells"][0]["trace"].as_str().unwrap().to_owned();
    assert!(
        trace.ends_with("[nec_430_250: NFPA 70 National Electrical Code 2023, Table 430.250; read]"),
        "{trace}"
    );
    let trace = quantity("I_ol")["cells"][0]["trace"].as_str().unwrap().to_owned();
    assert!(trace.ends_with("; from memory]"), "{trace}");
    assert_eq!(quantity("P_n")["tables"], Value::Null);
}
