//! Reading what was written gives the same again: for workbooks made at random, and for any text at all.

use polepair::workbook::text::{read, read_bytes, write};
use proptest::prelude::*;

use crate::reading::{faults, stays};

fn name() -> impl Strategy<Value = String> {
    prop::sample::select(vec![
        "P", "P_sh", "η", "n_1", "x′", "Ω", "work_2", "plate", "T", "rows_1", "inner",
    ])
    .prop_map(str::to_owned)
}

fn title() -> impl Strategy<Value = String> {
    prop::sample::select(vec![
        "\"a\"",
        "\"a \\\"b\\\" \\\\ \\n\"",
        "\"| # ( :\"",
        "\"\"",
        "\"Ω·m — ½\"",
    ])
    .prop_map(str::to_owned)
}

fn unit() -> impl Strategy<Value = &'static str> {
    prop::sample::select(vec![
        "kW",
        "rpm",
        "r/min",
        "N·m",
        "in",
        "lb-ft",
        "m³/h",
        "%",
        "°C",
        "1/h",
        "(r/min)/s",
        "pole pair",
    ])
}

fn formula() -> impl Strategy<Value = String> {
    let leaf = prop_oneof![
        (0u32..5000, unit()).prop_map(|(number, unit)| format!("{number} {unit}")),
        (0u32..5000).prop_map(|number| format!("{}.{}", number / 10, number % 10)),
        name(),
        name().prop_map(|name| format!("motors(\"P-1\").{name}")),
        name().prop_map(|name| format!("sum({name} for motors where {name} > 1 kW)")),
    ];
    leaf.prop_recursive(4, 16, 3, |inner| {
        prop_oneof![
            (
                inner.clone(),
                inner.clone(),
                prop::sample::select(vec!["+", "-", "*", "/", "^", "−", "·", "<=", "=", "and", "else"])
            )
                .prop_map(|(left, right, sign)| format!("{left} {sign} {right}")),
            inner.clone().prop_map(|inner| format!("({inner})")),
            inner.clone().prop_map(|inner| format!("-{inner}")),
            (inner.clone(), unit()).prop_map(|(inner, unit)| format!("({inner} in {unit})")),
            (inner.clone(), inner.clone())
                .prop_map(|(value, condition)| { format!("({value} when {condition}, otherwise \"none\")") }),
            (inner.clone(), inner).prop_map(|(first, second)| format!("f({first},\n     {second})  # why\n    * 2")),
        ]
    })
}

fn line() -> impl Strategy<Value = String> {
    prop_oneof![
        (name(), formula(), prop::option::of(title())).prop_map(|(name, formula, title)| {
            format!(
                "given {name} = {formula}{}",
                title.map_or(String::new(), |title| format!(" {title}"))
            )
        }),
        (name(), formula(), unit())
            .prop_map(|(name, formula, unit)| format!("work   {name}={formula} in {unit} :shaft power# c")),
        (name(), formula(), formula()).prop_map(|(name, a, b)| format!("given {name} = {a} |  | {b} measured \"x\"")),
        (formula(), title()).prop_map(|(formula, title)| format!("check {formula} {title}")),
        title().prop_map(|title| format!("note {title}")),
        name().prop_map(|name| format!("cases {name} | b c |d")),
        (name(), formula()).prop_map(|(name, formula)| format!("curve {name}(n : shaft speed) = {formula}")),
        (name(), formula()).prop_map(|(name, formula)| format!("define {name}(a, b : torque) = {formula}")),
        (name(), formula())
            .prop_map(|(name, formula)| format!("seek {name} such that {formula} = 0 between 0 and (2)")),
        Just("# comment".to_owned()),
        Just(String::new()),
        Just("gven x = 1  ".to_owned()),
        Just("work x = (1 + # open".to_owned()),
        Just("given x = 1,5 kW   ".to_owned()),
        Just("sheet second \"S\"".to_owned()),
        Just("list motors \"M\"".to_owned()),
        Just("given tag : text".to_owned()),
        Just("rows tag | P".to_owned()),
        (title(), formula()).prop_map(|(key, formula)| {
            let formula = formula.replace('\n', " ").replace("# why", "");
            format!("{key} | {formula} # row")
        }),
        Just(" | 5rpm".to_owned()),
        Just("| 5 kv |".to_owned()),
        Just("at row 1 P = 3 kW".to_owned()),
        Just("accept look-alike \"x\"".to_owned()),
    ]
}

/// Lines and rows that could not be read stand in what is written byte for byte, indent and trailing blanks included.
#[track_caller]
fn keeps_what_it_cannot_read(text: &str) {
    let book = read(text);
    let written = write(&book);
    let typed: Vec<&str> = text
        .split('\n')
        .map(|line| line.strip_suffix('\r').unwrap_or(line))
        .collect();
    let lines: Vec<&str> = written.split('\n').collect();
    let kept = |number: u32, of: &str| {
        let from = number as usize - 1;
        let whole = &typed[from..=from + of.matches('\n').count()];
        assert!(
            lines.windows(whole.len()).any(|there| there == whole),
            "{whole:?} is not in {written:?}"
        );
    };
    let sheets = || book.sheets.iter();
    for line in book
        .head
        .iter()
        .chain(sheets().flat_map(|sheet| std::iter::once(&sheet.opening).chain(&sheet.lines)))
    {
        if !line.text.is_empty() && line.faults.iter().any(polepair::fault::Fault::is_error) {
            kept(line.number, &line.text);
        }
    }
    for row in sheets().flat_map(|sheet| sheet.rows.iter().flat_map(|rows| &rows.rows)) {
        if let Some(row_text) = &row.faulty {
            kept(row.number, row_text);
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn what_is_written_is_read_as_the_same(lines in prop::collection::vec(line(), 0..14)) {
        let text = format!("polepair 1\nsheet first\n{}\n", lines.join("\n"));
        stays(&text);
    }

    /// No text breaks the reader, and nothing of a faulty line is lost.
    #[test]
    fn any_text_is_read(text in "(polepair 1\n)?(sheet s\n)?[\\PC\n\t]{0,120}") {
        stays(&text);
        keeps_what_it_cannot_read(&text);
    }

    #[test]
    fn any_bytes_are_read(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        prop_assert!(!faults(&read_bytes(&bytes)).is_empty());
    }

    /// Pieces of the language in any order.
    #[test]
    fn any_pieces_are_read(pieces in prop::collection::vec(prop::sample::select(vec![
        "given ", "work ", "seek ", "x", " = ", "(", ")", "\"", "#", "\n", " | ", "1", "1,5", " kW", " in ", " to 3 digits", " : ",
        "shaft power", "such that ", " between ", " and ", "rows ", "at ", "list m\n", "sheet s\n", "cases ", "+", "^", "for ",
        " where ", "when ", ", ", "otherwise ", "sum", ".", "²", "√", "−", "\u{a0}", "\\", "from ", "check ", "note ", "plot ",
        "curve ", "define ", "through ", "row 1", "accept ", "polepair 1\n", "\r\n", "'", "±", "\n\t", "\n   ", "\t",
    ]), 0..40)) {
        for before in ["", "polepair 1\nsheet s\n", "polepair 1\nlist m\ngiven tag : text\nrows tag\n"] {
            let text = format!("{before}{}", pieces.concat());
            stays(&text);
            keeps_what_it_cannot_read(&text);
        }
    }
}
