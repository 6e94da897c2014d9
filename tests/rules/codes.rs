//! Every code of the checker: its example raises it, the example put right does not.

use polepair::fault::{Code, Placed};
use polepair::recalc::Engine;
use polepair::workbook::text;

/// The words of the area's file, in order.
fn words() -> Vec<String> {
    include_str!("../../src/fault/codes/check.rs")
        .lines()
        .filter_map(|line| line.trim().split_once(" = \""))
        .filter_map(|(name, rest)| {
            let constant = !name.is_empty() && name.chars().all(|letter| letter.is_ascii_uppercase() || letter == '_');
            constant.then(|| rest.split('"').next().unwrap().to_owned())
        })
        .collect()
}

fn raised(lines: &str) -> Vec<&'static str> {
    faults(lines).iter().map(|placed| placed.fault.code.word()).collect()
}

/// All messages are of one style: no capital at the start (but for names, which stand in backquotes or hold a sign that is no small
/// letter), no full stop at the end of message or help.
#[test]
fn messages_are_of_one_style() {
    let mut wrong = Vec::new();
    for code in Code::all() {
        for placed in faults(code.entry().example) {
            for text in std::iter::once(&placed.fault.message).chain(&placed.fault.help) {
                let word = text.split(' ').next().unwrap();
                let capital =
                    word.chars().next().unwrap().is_uppercase() && word.chars().skip(1).all(char::is_lowercase);
                if capital && word.chars().count() > 1 || text.ends_with('.') || text.contains(". ") {
                    wrong.push(format!("{}: {text}", placed.fault.code.word()));
                }
            }
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

fn faults(lines: &str) -> Vec<Placed> {
    let (head, body): (Vec<&str>, Vec<&str>) = lines.lines().partition(|line| line.starts_with("define"));
    let workbook = format!(
        "polepair 1\n{}\n\nsheet case\n  {}\n\nlist motors\n  given tag : text\n  given P in kW\n  rows tag | P\n    \"a\" | 5 kW\n\n\
         sheet brine\n  cases winter | summer\n  given P = 5 kW | 6 kW\n",
        head.join("\n"),
        body.join("\n  ")
    );
    let engine = Engine::new(text::read(&workbook));
    engine.results().faults.clone()
}

#[test]
fn each_example_raises_its_code_and_the_mended_one_does_not() {
    let words = words();
    assert!(words.len() > 40, "{words:?}");
    let mut wrong = Vec::new();
    for word in words {
        let code = Code::find(&word).unwrap();
        let entry = code.entry();
        let found = raised(entry.example);
        if !found.contains(&code.word()) {
            wrong.push(format!("{word}: the example gives {found:?}"));
        }
        let found = raised(entry.mended);
        if !found.is_empty() {
            wrong.push(format!("{word}: the mended example gives {found:?}"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
