//! Texts of units.

use polepair::quantity::Unit;

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
    }
}
