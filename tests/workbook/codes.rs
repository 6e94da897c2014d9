//! Every example of the fault list raises its code, and the mended one does not.

use polepair::fault::Code;
use polepair::language::syntax::parse;
use polepair::workbook::text::read;

/// Codes of formulas; the others of this program are walked through the workbook text.
const FORMULA: &[&str] = &[
    "expected",
    "too-long",
    "number-form",
    "number-size",
    "fraction",
    "glued-to-unit",
    "operator-form",
    "unclosed-text",
    "unclosed-bracket",
    "text-escape",
    "misplaced-comma",
    "gathers-rows",
];

#[test]
fn examples_of_formula_faults_hold() {
    for word in FORMULA {
        let entry = Code::find(word).unwrap_or_else(|| panic!("no code {word}")).entry();
        let codes = |text: &str| parse(text).1.iter().map(|fault| fault.code.word()).collect::<Vec<_>>();
        assert!(
            codes(entry.example).contains(word),
            "{word}: {:?}",
            codes(entry.example)
        );
        assert!(codes(entry.mended).is_empty(), "{word}: {:?}", codes(entry.mended));
    }
}

/// Codes of the text of a workbook. `not-text` and `change-refused` are raised by bytes and by changes; their tests stand in
/// `reading` and `change`.
const WORKBOOK: &[&str] = &[
    "no-version",
    "other-version",
    "unknown-statement",
    "line-misplaced",
    "clause-twice",
    "clause-misplaced",
    "clause-missing",
    "unknown-kind",
    "defined-twice",
    "case-count",
    "rounding",
    "cell-count",
    "cell-sort",
    "unknown-column",
    "unknown-item",
    "unknown-code",
    "look-alike",
];

/// The example with the lines of a small workbook around it.
fn whole(example: &str) -> String {
    if example.starts_with("polepair") || example.starts_with("workbook") {
        return example.to_owned();
    }
    if example.starts_with("list") {
        return format!("polepair 1\n{example}\n");
    }
    format!("polepair 1\nsheet s\n{example}\n")
}

#[test]
fn examples_of_workbook_faults_hold() {
    for word in WORKBOOK {
        let entry = Code::find(word).unwrap_or_else(|| panic!("no code {word}")).entry();
        let codes = |text: &str| -> Vec<String> {
            let found = crate::reading::faults(&read(&whole(text)));
            found.into_iter().map(|(_, code)| code).collect()
        };
        assert_eq!(codes(entry.example), [*word], "{word}");
        assert_eq!(codes(entry.mended), Vec::<String>::new(), "{word}");
    }
}

/// A code added to the two areas of this program must be walked here as well.
#[test]
fn no_code_of_the_two_areas_is_left_out() {
    let all: Vec<&str> = Code::all().map(Code::word).collect();
    let of = |first: &str, last: &str| {
        let start = all.iter().position(|word| *word == first).unwrap();
        let end = all.iter().position(|word| *word == last).unwrap();
        all[start..=end].to_vec()
    };
    assert_eq!(of("expected", "gathers-rows"), FORMULA);
    let mut book = of("not-text", "change-refused");
    book.retain(|word| *word != "not-text" && *word != "change-refused");
    let mut walked = WORKBOOK.to_vec();
    book.sort_unstable();
    walked.sort_unstable();
    assert_eq!(book, walked);
}
