//! The table of kinds, walked whole.

use polepair::quantity::{Kind, Unit, conversion, convert, decimal};

#[test]
fn units_and_examples_of_every_kind_read() {
    let mut words = std::collections::HashSet::new();
    for kind in Kind::all() {
        let entry = kind.entry();
        assert!(words.insert(entry.words), "{} stands twice", entry.words);
        let si = Unit::parse(entry.si).unwrap_or_else(|fault| panic!("{}: {fault}", entry.words));
        let us = Unit::parse(entry.us).unwrap_or_else(|fault| panic!("{}: {fault}", entry.words));
        conversion(&si, &us).unwrap_or_else(|fault| panic!("{}: {fault}", entry.words));
        assert_eq!(Unit::usual(kind, false).text, si.text);
        assert_eq!(Unit::usual(kind, true).text, us.text);
        let (number, unit) = entry.example.split_once(' ').unwrap_or((entry.example, "1"));
        let number = decimal::read(number).unwrap_or_else(|| panic!("{}", entry.example));
        let unit = Unit::parse(unit).unwrap_or_else(|fault| panic!("{}: {fault}", entry.example));
        convert(number, &unit, &si).unwrap_or_else(|fault| panic!("{}: {fault}", entry.example));
        assert!(!entry.help.is_empty());
        if let Some(range) = entry.range {
            let value = convert(number, &unit, &si).unwrap().to_f64();
            assert!(range.holds(value) && range.low < range.high, "{}", entry.words);
            assert!(!range.likely.is_empty());
        }
        for also in entry.also {
            assert!(Kind::find(also).is_none(), "{also} is a kind of its own");
            assert_eq!(Kind::called(also), [kind], "{also}");
            assert_eq!(Kind::nearest(&also.to_lowercase()), [kind], "{also}");
        }
        assert_eq!(Kind::find(entry.words), Some(kind));
    }
}

/// Every quantity of the table of units can be declared: some kind has a usual unit that its units convert to.
#[test]
fn every_unit_belongs_to_a_kind() {
    for entry in Unit::all() {
        // The other currencies belong to the kinds of cost as well.
        let dimension = entry.unit.dimension.any_currency().unwrap();
        let found = Kind::all().any(|kind| {
            let usual = Unit::usual(kind, false);
            usual.dimension == dimension || conversion(&entry.unit, &usual).is_ok()
        });
        assert!(found, "{} ({})", entry.symbol, entry.quantity);
        let proved = entry.unit.kind;
        if let Some(kind) = proved {
            let usual = Unit::usual(kind, false);
            assert!(
                usual.dimension == dimension || conversion(&entry.unit, &usual).is_ok(),
                "{}: {kind:?}",
                entry.symbol
            );
        }
        // These alone prove nothing.
        let open = ["ratio", "rotational speed", "temperature point"].contains(&entry.quantity.as_str());
        assert!(
            proved.is_some() || open,
            "{} ({}) proves no kind",
            entry.symbol,
            entry.quantity
        );
    }
}

#[test]
fn words_are_found_and_near_words_offered() {
    assert_eq!(Kind::find("shaft  power").map(Kind::words), Some("shaft power"));
    assert_eq!(Kind::find("shaft powers"), None);
    let first = |words: &str| Kind::nearest(words).first().map(|kind| kind.words());
    assert_eq!(first("shaft powr"), Some("shaft power"));
    assert_eq!(first("Shaft Power"), Some("shaft power"));
    assert_eq!(first("synchronus speed"), Some("synchronous speed"));
    assert_eq!(first("locked rotor torque"), Some("locked-rotor torque"));
    assert!(Kind::nearest("zzzzzzzz").is_empty());
}

#[test]
fn efficiencies_lead_from_one_stage_to_the_next() {
    use polepair::quantity::{Family, Stage};
    let ends = |words: &str| match Kind::find(words).unwrap().family() {
        Family::Efficiency { from, to } => (from, to),
        other => panic!("{words}: {other:?}"),
    };
    assert_eq!(ends("motor efficiency"), (Stage::Electrical, Stage::Shaft));
    assert_eq!(ends("gear efficiency"), (Stage::Shaft, Stage::Shaft));
    assert_eq!(ends("pump efficiency"), (Stage::Shaft, Stage::Hydraulic));
    assert_eq!(ends("converter efficiency"), (Stage::Electrical, Stage::Electrical));
    let power = Kind::find("shaft power").unwrap().family();
    assert!(power.comparable(Kind::find("loss").unwrap().family()));
    assert!(!power.comparable(Kind::find("apparent power").unwrap().family()));
    assert!(
        !Kind::find("torque")
            .unwrap()
            .family()
            .comparable(Kind::find("energy").unwrap().family())
    );
}
