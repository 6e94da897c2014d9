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
        assert_eq!(Kind::find(entry.words), Some(kind));
    }
}
