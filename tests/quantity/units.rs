//! Texts of units.

use polepair::quantity::{Base, Dimension, Exponent, Unit};

#[test]
fn every_symbol_and_alias_reads_as_its_row() {
    let mut rows = csv::Reader::from_path("src/quantity/data/units.csv").unwrap();
    let count = rows.records().filter(Result::is_ok).count();
    assert_eq!(Unit::all().count(), count, "every row of the table is read");
    for entry in Unit::all() {
        for name in std::iter::once(&entry.symbol).chain(&entry.aliases) {
            let plate = Unit::parse_plate(name).unwrap_or_else(|fault| panic!("{name}: {fault}"));
            assert!(plate.same_scale(&entry.unit), "{name} is {plate}, not {}", entry.unit);
            let for_plates = name.contains([' ', '"', '\'', '.', '*']) || name.starts_with('-');
            if !for_plates {
                let unit = Unit::parse(name).unwrap_or_else(|fault| panic!("{name}: {fault}"));
                assert_eq!(unit.text, entry.unit.text, "{name}");
            }
        }
        let again = Unit::parse(&entry.unit.text).unwrap();
        assert!(
            again.same_scale(&entry.unit) && again.text == entry.unit.text,
            "{}",
            entry.unit
        );
        assert!(!entry.source.is_empty(), "{}", entry.symbol);
    }
}

/// A row's dimension and factor as the published file states them: with rad where the angle is rad there, multiplied by 2π for
/// every turn. So the column that marks turns cannot make a factor wrong.
#[test]
fn turns_are_marked_without_changing_a_factor() {
    let mut turns = 0;
    for entry in Unit::all() {
        let times = entry.unit.dimension.get(Base::Turn);
        if times.is_zero() {
            continue;
        }
        turns += 1;
        assert!(entry.si_unit.contains("rad"), "{}", entry.symbol);
        let radians = entry.unit.factor.to_f64() * std::f64::consts::TAU.powf(times.to_f64());
        let mut rows = csv::Reader::from_path("src/quantity/data/units.csv").unwrap();
        let row = rows
            .records()
            .map(Result::unwrap)
            .find(|row| row[1] == entry.symbol)
            .unwrap();
        let published = row[3].parse::<f64>().unwrap() / row[4].parse::<f64>().unwrap()
            * std::f64::consts::PI.powi(row[5].parse().unwrap());
        assert!(
            (radians / published - 1.0).abs() < 1e-14,
            "{}: {radians}, {published}",
            entry.symbol
        );
    }
    assert_eq!(turns, 14);
}

#[test]
fn canonical_texts() {
    let cases = [
        ("in", "inch"),
        ("inches", "inch"),
        ("in²", "in²"),
        ("kg/in", "kg/inch"),
        ("rpm", "r/min"),
        ("RPM", "r/min"),
        ("min⁻¹", "r/min"),
        ("min^-1", "r/min"),
        ("kVAr", "kvar"),
        ("lb-ft", "lbf·ft"),
        ("ft-lb", "lbf·ft"),
        ("lb·ft", "lbf·ft"),
        ("lb-ft²", "lb·ft²"),
        ("lb-ft^2", "lb·ft²"),
        ("N-m", "N·m"),
        ("kg-m", "kgf·m"),
        ("m^3/h", "m³/h"),
        ("ohm", "Ω"),
        ("\u{2126}", "Ω"),
        ("k\u{2126}", "kΩ"),
        ("\u{3bc}F", "µF"),
        ("uF", "µF"),
        ("uA", "µA"),
        ("\u{ba}C", "°C"),
        ("\u{2103}", "°C"),
        ("kg⋅m²", "kg·m²"),
        ("kg·m²/s", "kg·m²/s"),
        ("kg·m^2/s", "kg·m²/s"),
        ("N·m/(r/min)", "N·m/(r/min)"),
        ("N·m/rpm", "N·m/(r/min)"),
        ("rpm/s", "(r/min)/s"),
        ("(r/min)/s", "(r/min)/s"),
        ("W/(m²·K)", "W/(m²·K)"),
        ("W/(m^2·°C)", "W/(m²·°C)"),
        ("1/h", "1/h"),
        ("1/min", "1/min"),
        ("h⁻¹", "h⁻¹"),
        ("kW·h", "kWh"),
        ("pole-pair", "pp"),
        ("daN·m", "daN·m"),
        ("V/Hz^(1/2)", "V/Hz^(1/2)"),
        ("V/(Hz^0.5·m)", "V/(Hz^(1/2)·m)"),
        ("(kg·m)^(1/2)", "(kg·m)^(1/2)"),
        ("A^0.5", "A^(1/2)"),
        ("€", "€"),
        ("EUR/kWh", "€/kWh"),
        ("$/yr", "$/yr"),
        ("percent", "%"),
        ("1", "1"),
        ("m²/s²", "m²/s²"),
        ("(m/s)²", "(m/s)²"),
        ("kgf/cm²", "kgf/cm²"),
    ];
    for (typed, canonical) in cases {
        let unit = Unit::parse(typed).unwrap_or_else(|fault| panic!("{typed}: {fault}"));
        assert_eq!(&*unit.text, canonical, "{typed}");
        let again = Unit::parse(canonical).unwrap_or_else(|fault| panic!("{canonical}: {fault}"));
        assert_eq!(again.text, unit.text);
        assert!(again.same_scale(&unit), "{typed}");
    }
}

#[test]
fn what_is_refused_says_what_to_write() {
    // text, code, a word of what is offered
    let cases = [
        ("kv", "unknown-unit", "kV"),
        ("KW", "unknown-unit", "kW"),
        ("Kw", "unknown-unit", "kW"),
        ("mw", "unknown-unit", "MW"),
        ("mw", "unknown-unit", "mW"),
        ("rmp", "unknown-unit", "r/min"),
        ("hz", "unknown-unit", "Hz"),
        ("Nm2x", "unknown-unit", ""),
        ("kW/kv", "unknown-unit", "kV"),
        ("ton", "which-ton", "ton_us"),
        ("ton/h", "which-ton", "ton_refr"),
        ("Tons", "which-ton", "t"),
        ("m/s/s", "unit-two-ways", "m/(s·s)"),
        ("J/kg·K", "unit-two-ways", "J/(kg·K)"),
        ("lb·ft·s", "unit-two-ways", "lbf·ft"),
        ("", "unit-broken", ""),
        ("kg·", "unit-broken", ""),
        ("/s", "unit-broken", ""),
        ("(kg", "unit-broken", "bracket"),
        ("kg)", "unit-broken", "bracket"),
        ("m^", "unit-broken", "exponent"),
        ("m^x", "unit-broken", "exponent"),
        ("m^99999", "unit-broken", "exponent"),
        ("m^(1/0)", "unit-broken", "exponent"),
        ("kmin", "unknown-unit", "min"),
        ("khp", "unknown-unit", "hp"),
        ("ft of head", "unknown-unit", ""),
        ("N*m", "unknown-unit", ""),
    ];
    for (text, code, offered) in cases {
        let fault = Unit::parse(text).map(|unit| panic!("{text} is {unit}")).unwrap_err();
        assert_eq!(fault.code.word(), code, "{text}: {fault}");
        let told = fault.to_string();
        assert!(told.contains(offered), "{text}: {told}");
    }
    // Case alone comes before a changed letter.
    assert_eq!(
        Unit::parse("kv").unwrap_err().nearest.first().map(String::as_str),
        Some("kV")
    );
}

#[test]
fn long_and_deep_texts_are_refused() {
    let long = "m·".repeat(5000) + "m";
    assert_eq!(Unit::parse(&long).unwrap_err().code.word(), "unit-broken");
    let deep = "(".repeat(90) + "m" + &")".repeat(90);
    assert_eq!(Unit::parse(&deep).unwrap_err().code.word(), "unit-broken");
    let high = "m²".to_owned() + &"·km^999".repeat(20);
    assert!(Unit::parse(&high).is_err());
}

#[test]
fn plates_write_more_freely() {
    let cases = [
        ("\"wg", "inH2O"),
        ("in wc", "inH2O"),
        ("ft of head", "ftH2O"),
        ("US gpm", "gpm"),
        ("KW", "kW"),
        ("KVA", "kVA"),
        ("AMPS", "A"),
        ("Volts", "V"),
        ("HZ", "Hz"),
        ("N.m", "N·m"),
        ("N m", "N·m"),
        ("NM", "N·m"),
        ("r / min", "r/min"),
        ("-pole", "pole"),
        ("1/min", "r/min"),
        ("min-1", "r/min"),
        ("H.P.", "hp"),
        ("kg.m2", "kg·m²"),
    ];
    for (typed, canonical) in cases {
        let unit = Unit::parse_plate(typed).unwrap_or_else(|fault| panic!("{typed}: {fault}"));
        assert_eq!(&*unit.text, canonical, "{typed}");
    }
    // Two units differ in case alone: nothing is guessed.
    assert!(Unit::parse_plate("mw").is_err());
    assert!(Unit::parse_plate("ton").is_err());
}

#[test]
fn kinds_that_units_prove() {
    let cases = [
        ("N·m", Some("torque")),
        ("lbf·cm", Some("torque")),
        ("J", Some("energy")),
        ("kWh", Some("energy")),
        ("kVAh", Some("apparent energy")),
        ("r/min", Some("speed of rotation")),
        ("rad/s", None),
        ("Hz", Some("frequency")),
        ("1/s", None),
        ("kg·m²", Some("inertia")),
        ("kg·mm²", Some("inertia")),
        ("kgf·m²(GD2)", Some("flywheel effect")),
        ("°C", Some("temperature")),
        ("K", None),
        ("Δ°F", Some("temperature difference")),
        ("kW", Some("power")),
        ("kVA", Some("apparent power")),
        ("pole", Some("poles")),
        ("%", None),
        ("€/kWh", Some("energy price")),
        ("h/yr", Some("hours per year")),
        ("lb", Some("mass")),
        ("lbf", Some("force")),
    ];
    for (text, words) in cases {
        assert_eq!(
            Unit::parse(text).unwrap().kind.map(|kind| kind.words()),
            words,
            "{text}"
        );
    }
}

#[test]
fn tags_stand_in_the_dimension() {
    let dimension = |text: &str| Unit::parse(text).unwrap().dimension;
    let of = |bases: &[(Base, i16)]| {
        bases.iter().fold(Dimension::NONE, |out, (base, times)| {
            out.with(*base, Exponent::whole(*times))
        })
    };
    assert_eq!(dimension("r/min"), of(&[(Base::Turn, 1), (Base::Time, -1)]));
    assert_eq!(dimension("Hz"), of(&[(Base::Cycle, 1), (Base::Time, -1)]));
    assert_eq!(dimension("pole"), of(&[(Base::Cycle, 1), (Base::Turn, -1)]));
    assert_eq!(dimension("W/VA"), of(&[(Base::Active, 1), (Base::Apparent, -1)]));
    // f / p is a speed: 60 Hz over 4 poles is 30 rev/s.
    let speed = Unit::parse("Hz").unwrap().div(&Unit::parse("pole").unwrap()).unwrap();
    assert_eq!(speed.dimension, dimension("r/min"));
    let factor = speed.factor.div(&Unit::parse("r/min").unwrap().factor);
    assert_eq!(
        factor.apply(rust_decimal::Decimal::from(15)).unwrap(),
        rust_decimal::Decimal::from(1800)
    );
    // Volt times ampere made of the two carries no kind of power; the watt does.
    assert_eq!(
        dimension("W").without(Base::Active),
        dimension("kV").mul(&dimension("mA")).unwrap()
    );
}

#[test]
fn coherent_units_are_named_where_si_has_a_name() {
    for (text, coherent) in [
        ("kW", "W"),
        ("lbf·ft", "N·m"),
        ("psi", "Pa"),
        ("gpm", "m³/s"),
        ("%", "1"),
        ("r/min", "r/s"),
        ("kW·km", "W·m"),
        ("kVA/ft", "VA/m"),
        ("€/kg", "€/kg"),
        ("kg·m³", "kg·m³"),
    ] {
        let unit = Unit::parse(text).unwrap();
        let found = Unit::coherent(&unit.dimension);
        assert_eq!(&*found.text, coherent, "{text}");
        let again = Unit::parse(coherent).unwrap();
        assert_eq!(
            (again.dimension, again.factor.is_one()),
            (unit.dimension, true),
            "{text}"
        );
    }
}

#[test]
fn products_and_quotients_of_units() {
    let unit = |text: &str| Unit::parse(text).unwrap();
    for (a, sign, b, text) in [
        ("kW", '·', "h", "kWh"),
        ("N·m", '/', "A", "N·m/A"),
        ("kg", '/', "m³", "kg/m³"),
        ("1", '/', "h", "1/h"),
        ("kW", '/', "1", "kW"),
        ("r/min", '/', "s", "(r/min)/s"),
        ("lb", '·', "ft", "ft·lb"),
    ] {
        let joined = if sign == '·' {
            unit(a).mul(&unit(b))
        } else {
            unit(a).div(&unit(b))
        }
        .unwrap();
        let expected = if sign == '·' {
            unit(a).dimension.mul(&unit(b).dimension)
        } else {
            unit(a).dimension.div(&unit(b).dimension)
        };
        assert_eq!(Some(joined.dimension), expected, "{a} {b}");
        let again = unit(&joined.text);
        assert!(again.same_scale(&joined), "{a} {sign} {b}: {joined}");
        assert_eq!(&*joined.text, text);
    }
}

#[test]
fn units_are_found_by_a_word() {
    let symbols = |word: &str| {
        Unit::search(word)
            .iter()
            .map(|entry| entry.symbol.clone())
            .collect::<Vec<_>>()
    };
    assert!(symbols("horsepower").contains(&"hp".to_owned()));
    assert!(symbols("RPM").contains(&"r/min".to_owned()));
    assert!(symbols("inertia").contains(&"lb·ft²".to_owned()));
    assert!(symbols("zzz").is_empty());
    let digits = |text: &str| polepair::quantity::convert::finite(&Unit::parse(text).unwrap().factor);
    // NIST SP 811: 550 ft·lbf/s.
    assert_eq!(
        digits("hp").map(|value| value.to_string()).as_deref(),
        Some("745.69987158227022")
    );
    assert_eq!(digits("psi"), None, "repeating");
    assert_eq!(digits("deg"), None, "π");
}
