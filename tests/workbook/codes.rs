//! Every example of the fault list raises its code, and the mended one does not.

use polepair::fault::Code;
use polepair::language::syntax::parse;

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
