//! What a direct conversion refuses and what it allows, rule by rule; the rules are the notebook's own (cycles, turns and kinds
//! of power are kept apart), the factors published.

use polepair::fault::Code;
use polepair::quantity::{Number, Unit, convert, decimal::read, show};

fn code(value: &str, from: &str, to: &str) -> String {
    match convert(
        read(value).unwrap(),
        &Unit::parse(from).unwrap(),
        &Unit::parse(to).unwrap(),
    ) {
        Ok(number) => show::exact(&number),
        Err(fault) => {
            assert!(
                !fault.message.is_empty() && fault.help.as_ref().is_some_and(|help| !help.is_empty()),
                "{fault:?}"
            );
            format!("! {}", fault.code.map_or("", Code::word))
        }
    }
}

#[test]
fn refusals_and_allowances() {
    let cases = [
        // frequency, speed, angle
        ("60", "Hz", "r/min", "! cycle-meets-turn"),
        ("1800", "r/min", "Hz", "! cycle-meets-turn"),
        ("60", "Hz", "rad/s", "! cycle-meets-angle"),
        ("377", "rad/s", "Hz", "! cycle-meets-angle"),
        ("60", "Hz", "1/s", "! cycle-dropped"),
        ("60", "1/s", "Hz", "! cycle-dropped"),
        ("4", "pole", "1", "! cycle-dropped"),
        ("4", "1", "pole", "! cycle-dropped"),
        ("25", "1/s", "r/min", "! rate-is-no-speed"),
        ("25", "1/s", "rad/s", "! rate-is-no-speed"),
        ("25", "r/min", "1/min", "! turn-dropped"),
        ("3", "rev", "1", "! turn-dropped"),
        ("3", "1", "rev", "! turn-dropped"),
        ("50", "cm³", "cm³/rev", "! turn-dropped"),
        ("50", "cm³/rev", "cm³", "! turn-dropped"),
        ("10", "mm/rev", "mm", "! turn-dropped"),
        ("0.5", "rad", "1", "0.5"),
        ("3000", "r/min", "r/s", "50"),
        ("1475", "min⁻¹", "r/min", "1475"),
        ("1475", "min^-1", "rpm", "1475"),
        ("6", "1/min", "1/h", "360"),
        // power and energy
        ("37", "kVA", "kW", "! power-kinds-differ"),
        ("37", "kW", "kVA", "! power-kinds-differ"),
        ("37", "kvar", "kW", "! power-kinds-differ"),
        ("5", "kVAh", "kWh", "! power-kinds-differ"),
        ("5", "kVAh", "MJ", "! power-kinds-differ"),
        ("5", "kVAh", "kvarh", "! power-kinds-differ"),
        ("0.85", "W/VA", "1", "0.85"),
        ("85", "%", "W/VA", "0.85"),
        ("5.6", "kVA/hp", "1", "! power-kinds-differ"),
        ("3", "N·m·rad/s", "W", "3"),
        ("3", "W", "N·m·rad/s", "3"),
        ("3", "kV·A", "kVA", "3"),
        ("10", "N·m", "J", "! torque-is-not-energy"),
        ("10", "kWh", "N·m", "! torque-is-not-energy"),
        ("10", "lbf·cm", "BTU", "! torque-is-not-energy"),
        ("10", "N·m·rad", "J", "10"),
        // mass and force, temperature, money, the rest
        ("5", "lb", "lbf", "! mass-is-not-force"),
        ("5", "kgf", "kg", "! mass-is-not-force"),
        ("20", "°C", "Δ°C", "! point-and-difference"),
        ("20", "ΔK", "°C", "! point-and-difference"),
        ("20", "Δ°C", "Δ°F", "36"),
        ("20", "°C", "°F", "68"),
        ("-40", "°F", "°C", "-40"),
        ("20", "W/°C", "W/K", "20"),
        ("100", "$", "€", "! currencies-do-not-convert"),
        ("0.2", "€/kWh", "$/kWh", "! currencies-do-not-convert"),
        ("20", "¢/kWh", "$/kWh", "0.2"),
        ("5", "kW", "kg", "! units-do-not-match"),
        ("5", "Hz", "pole", "! units-do-not-match"),
        ("4", "kgf·m²(GD2)", "kg·m²", "1"),
        ("8760", "h/yr", "1", "1"),
    ];
    for (value, from, to, expected) in cases {
        assert_eq!(code(value, from, to), expected, "{value} {from} in {to}");
    }
}

#[test]
fn a_number_that_leaves_the_range_says_so() {
    let far = convert(
        read("7e28").unwrap(),
        &Unit::parse("km").unwrap(),
        &Unit::parse("mm").unwrap(),
    )
    .unwrap_err();
    assert!(far.number.is_some() && far.code.is_none(), "{far:?}");
    let near = convert(
        read("1e-28").unwrap(),
        &Unit::parse("mm").unwrap(),
        &Unit::parse("km").unwrap(),
    )
    .unwrap_err();
    assert!(near.message.contains("small"), "{near:?}");
}

#[test]
fn an_exact_conversion_stays_exact() {
    let worked = convert(
        read("11.5").unwrap(),
        &Unit::parse("kW").unwrap(),
        &Unit::parse("W").unwrap(),
    )
    .unwrap();
    assert!(matches!(worked, Number::Exact(_)), "{worked:?}");
    let worked = convert(
        read("90").unwrap(),
        &Unit::parse("r/min").unwrap(),
        &Unit::parse("r/s").unwrap(),
    )
    .unwrap();
    assert!(matches!(worked, Number::Exact(_)), "{worked:?}");
    let worked = convert(
        read("100").unwrap(),
        &Unit::parse("r/min").unwrap(),
        &Unit::parse("r/s").unwrap(),
    )
    .unwrap();
    assert!(matches!(worked, Number::Rounded(_)), "{worked:?}");
}
