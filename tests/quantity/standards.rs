//! Rating series and code letters against `worked_examples_ratings.csv` (Siemens application manual, Table 1 examples; EASA
//! handbook code letters) and against the published counts of the tables.

use polepair::quantity::{Number, decimal::read};
use polepair::standards::{Basis, Series, code_letter, code_letter_of, code_letters, code_letters_publication};

fn number(text: &str) -> Number {
    Number::Exact(read(text).unwrap())
}

#[test]
fn next_ratings_of_the_worked_examples() {
    // "factor 0.86; 29.1 hp needed; next rating 30 hp"
    let mut rows = csv::Reader::from_path("tests/quantity/worked_examples_ratings.csv").unwrap();
    let mut found = 0;
    for row in rows.records() {
        let row = row.unwrap();
        let Some((before, next)) = row[2].split_once(" hp needed; next rating ") else {
            continue;
        };
        let needed = before.rsplit(' ').next().unwrap();
        let next = next.strip_suffix(" hp").unwrap();
        let rating = Series::Hp.at_or_above(number(needed)).unwrap();
        assert_eq!(rating.value, read(next).unwrap(), "{row:?}");
        found += 1;
    }
    assert_eq!(found, 4);
}

#[test]
fn code_letter_boundary_of_the_worked_example() {
    let mut rows = csv::Reader::from_path("tests/quantity/worked_examples_ratings.csv").unwrap();
    let row = rows
        .records()
        .map(Result::unwrap)
        .find(|row| &row[0] == "code letter boundary")
        .unwrap();
    assert_eq!((&row[1], &row[2]), ("3.14 kVA/hp and 3.15 kVA/hp", "A and B"));
    assert_eq!(code_letter_of(number("3.14")).unwrap().letter, "A");
    assert_eq!(code_letter_of(number("3.15")).unwrap().letter, "B");
}

#[test]
fn ranges_leave_no_gap_and_the_upper_end_is_open() {
    let letters = code_letters();
    assert_eq!(letters.len(), 19, "19 of 19 rows equal the second reading");
    for pair in letters.windows(2) {
        assert_eq!(
            pair[0].below,
            Some(pair[1].from),
            "{} to {}",
            pair[0].letter,
            pair[1].letter
        );
    }
    assert_eq!(letters.last().unwrap().below, None);
    // NEC Table 430.7(B): G is 5.6 to 6.29.
    let g = code_letter("g").unwrap();
    assert_eq!((g.from, g.below), (read("5.6").unwrap(), read("6.3")));
    for unused in ["I", "O", "Q", "", "AB"] {
        assert_eq!(code_letter(unused), None, "{unused}");
    }
    assert_eq!(code_letter_of(number("-0.1")), None);
    assert!(code_letters_publication().unwrap().edition.contains("430.7(B)"));
}

#[test]
fn series_rise_and_say_where_they_come_from() {
    for (series, count, read_rows) in [(Series::Kw, 39, 24), (Series::Hp, 29, 29)] {
        let ratings = series.ratings();
        assert_eq!(ratings.len(), count);
        assert!(ratings.windows(2).all(|pair| pair[0].value < pair[1].value));
        assert_eq!(
            ratings.iter().filter(|rating| rating.basis == Basis::Read).count(),
            read_rows
        );
        let publication = series.publication().unwrap();
        for said in [
            &publication.title,
            &publication.edition,
            &publication.source,
            &publication.basis,
        ] {
            assert!(!said.is_empty(), "{publication:?}");
        }
        assert_eq!(Series::find(series.name()), Some(series));
    }
    // 10 CFR 431.25 Table 1 pairs 20 hp with 15 kW and 50 hp with 37 kW.
    let pair = |hp: &str| Series::Hp.at_or_above(number(hp)).unwrap().kw.unwrap().0;
    assert_eq!(pair("20"), read("15").unwrap());
    assert_eq!(pair("50"), read("37").unwrap());
}

#[test]
fn a_power_that_equals_a_rating_but_for_rounding_takes_it() {
    let third = number("33").div(number("3")).unwrap();
    assert_eq!(Series::Kw.at_or_above(third).unwrap().value, read("11").unwrap());
    let noisy = number("1")
        .div(number("3"))
        .unwrap()
        .mul(number("33"))
        .unwrap()
        .add(number("1e-26"))
        .unwrap();
    assert_eq!(Series::Kw.at_or_above(noisy).unwrap().value, read("11").unwrap());
    assert_eq!(
        Series::Kw.at_or_above(number("11.0001")).unwrap().value,
        read("15").unwrap()
    );
    assert_eq!(
        Series::Kw.at_or_above(number("1000")).unwrap().value,
        read("1000").unwrap()
    );
    assert_eq!(Series::Kw.at_or_above(number("1000.1")), None);
}
