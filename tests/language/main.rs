//! Runs every page of this folder: each block marked `pole` is a workbook, and comments at the ends of its lines say what must
//! come out.
//!
//! `#= 1800 r/min` the value, to all digits given; `|` between cases; words and texts as they stand; `yes` and `no` for checks
//! `#: shaft speed` the kind
//! `#! code` an error of this code in the line
//! `#? code` a warning of this code in the line
//! `#_` a blank
//! `#> 2*pi*n` a change that is offered for a fault of the line: the line then has this text, and no error
//! `#~ 52.1 … 90.6` the band of tolerances, to all digits given; `_` none
//!
//! A block without `polepair 1` gets it, and a sheet where it opens none. A fault nobody expects fails.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    missing_docs
)]

use std::path::PathBuf;

use polepair::fault::{Code, Severity};
use polepair::language::check::Sort;
use polepair::language::work::{Outcome, Value};
use polepair::quantity::{Unit, show};
use polepair::recalc::{CheckResults, Engine, QuantityResults, Results};
use polepair::workbook::{Statement, text};
use rust_decimal::Decimal;

struct Block {
    /// Line of the page on which the first line of `text` stands.
    first: usize,
    /// Lines put before the text of the page.
    added: usize,
    text: String,
}

fn blocks(page: &str) -> Vec<Block> {
    let mut out = Vec::new();
    let mut open: Option<(usize, Vec<&str>)> = None;
    for (number, line) in page.lines().enumerate() {
        match &mut open {
            None if line.trim_end() == "```pole" => open = Some((number + 2, Vec::new())),
            None => {}
            Some(_) if line.trim_end() == "```" => {
                let (first, lines) = open.take().unwrap();
                out.push(block(first, &lines));
            }
            Some((_, lines)) => lines.push(line),
        }
    }
    assert!(open.is_none(), "a block is not closed");
    out
}

fn block(first: usize, lines: &[&str]) -> Block {
    let starts = |word: &str| {
        lines
            .iter()
            .any(|line| line.split_whitespace().next() == Some(word) && !line.starts_with(' '))
    };
    let mut head = Vec::new();
    if !starts("polepair") {
        head.push("polepair 1");
        if !starts("sheet") && !starts("list") {
            head.push("sheet case");
        }
    }
    let text: Vec<&str> = head.iter().chain(lines).copied().collect();
    Block {
        first,
        added: head.len(),
        text: text.join("\n") + "\n",
    }
}

#[derive(Debug)]
enum Expected<'a> {
    Value(&'a str),
    Kind(&'a str),
    Band(&'a str),
    Fault(Severity, &'a str),
    Mended(&'a str),
    Blank,
}

/// The expectations at the end of a line.
fn expectations(line: &str) -> Vec<Expected<'_>> {
    let mut quoted = false;
    let mut before = ' ';
    let comment = line.char_indices().find(|(_, letter)| {
        if *letter == '"' && before != '\\' {
            quoted = !quoted;
        }
        before = *letter;
        *letter == '#' && !quoted
    });
    let Some((at, _)) = comment else {
        return Vec::new();
    };
    let mut out = Vec::new();
    for part in line[at + 1..].split(" #").flat_map(|part| part.split("\t#")) {
        let rest = part.get(1..).unwrap_or("").trim();
        match part.chars().next() {
            Some('=') => out.push(Expected::Value(rest)),
            Some(':') => out.push(Expected::Kind(rest)),
            Some('~') => out.push(Expected::Band(rest)),
            Some('!') => out.extend(
                rest.split_whitespace()
                    .map(|code| Expected::Fault(Severity::Error, code)),
            ),
            Some('?') => out.extend(
                rest.split_whitespace()
                    .map(|code| Expected::Fault(Severity::Warning, code)),
            ),
            Some('>') => out.push(Expected::Mended(rest)),
            Some('_') if rest.is_empty() => out.push(Expected::Blank),
            _ => {}
        }
    }
    out
}

fn run(block: &Block) -> Vec<(usize, String)> {
    let workbook = text::read(&block.text);
    let engine = Engine::new(workbook);
    let results = engine.results();
    let mut wrong = spoiled(block, results);
    let mut faults: Vec<(usize, Severity, &str, &str, bool)> = results
        .faults
        .iter()
        .filter(|placed| placed.fault.severity != Severity::Note)
        .map(|placed| {
            (
                placed.line as usize,
                placed.fault.severity,
                placed.fault.code.word(),
                placed.fault.message.as_str(),
                false,
            )
        })
        .collect();
    // Which lines belong to which statement.
    let mut statements = Vec::new();
    let workbook = engine.workbook();
    for line in &workbook.head {
        statements.push((line, None));
    }
    for (place, sheet) in workbook.sheets.iter().enumerate() {
        statements.push((&sheet.opening, None));
        statements.extend(sheet.lines.iter().map(|line| (line, Some(place))));
    }
    for (index, line) in block.text.lines().enumerate() {
        let number = index + 1;
        let on_page = (number + block.first).saturating_sub(block.added + 1);
        let owner = statements.iter().find(|(statement, _)| {
            let first = statement.number as usize;
            (first..first + statement.text.matches('\n').count() + 1).contains(&number)
        });
        let range = owner.map_or(number..number + 1, |(statement, _)| {
            let first = statement.number as usize;
            first..first + statement.text.matches('\n').count() + 1
        });
        for expected in expectations(line) {
            if let Expected::Fault(severity, code) = expected {
                let found = faults
                    .iter_mut()
                    .find(|fault| range.contains(&fault.0) && fault.1 == severity && fault.2 == code);
                match found {
                    Some(fault) => {
                        // All of the same line and code are meant.
                        let (line, severity, code) = (fault.0, fault.1, fault.2);
                        for fault in &mut faults {
                            if (fault.0, fault.1, fault.2) == (line, severity, code) {
                                fault.4 = true;
                            }
                        }
                    }
                    None => wrong.push((on_page, format!("no {} {code}: {line}", severity.word()))),
                }
                continue;
            }
            if let Expected::Mended(wanted) = expected {
                if let Err(message) = mended(block, results, &range, wanted) {
                    wrong.push((on_page, format!("{message}: {line}")));
                }
                continue;
            }
            let Some((statement, Some(place))) = owner else {
                wrong.push((on_page, format!("nothing is worked in this line: {line}")));
                continue;
            };
            if let Err(message) = compare(results, *place, &statement.statement, &expected) {
                wrong.push((on_page, format!("{message}: {line}")));
            }
        }
    }
    for (line, severity, code, message, expected) in faults {
        if !expected {
            let on_page = (line + block.first).saturating_sub(block.added + 1);
            let source = block.text.lines().nth(line.saturating_sub(1)).unwrap_or("");
            wrong.push((
                on_page,
                format!("unexpected {} {code}: {message}: {source}", severity.word()),
            ));
        }
    }
    wrong
}

/// Whether a change that is offered in these lines gives the text, and mends what is wrong in them.
fn mended(block: &Block, results: &Results, lines: &std::ops::Range<usize>, wanted: &str) -> Result<(), String> {
    let mut offered = Vec::new();
    for placed in results
        .faults
        .iter()
        .filter(|placed| lines.contains(&(placed.line as usize)))
    {
        for fix in &placed.fault.fixes {
            let mut source = placed.source.clone();
            source.replace_range(fix.span.start as usize..fix.span.end as usize, &fix.replacement);
            let whole = block.text.replacen(&placed.source, &source, 1);
            let typed = source.split(" #").next().unwrap_or("").to_owned();
            let again = Engine::new(text::read(&whole));
            let wrong = again.results().faults.iter().find(|again| {
                let same = again.fault.code == placed.fault.code || again.fault.severity == Severity::Error;
                same && lines.contains(&(again.line as usize))
            });
            match wrong {
                _ if !typed.contains(wanted) => offered.push(format!("`{}`", typed.trim())),
                Some(wrong) => offered.push(format!("`{}`, which is wrong: {}", typed.trim(), &*wrong.fault.message)),
                None => return Ok(()),
            }
        }
    }
    Err(format!("what is offered: {}", offered.join(", ")))
}

/// What is offered in the place of a constant and is wrong itself: the line has an error then that it did not have.
fn spoiled(block: &Block, results: &Results) -> Vec<(usize, String)> {
    let errors = |results: &Results, line: u32| -> Vec<&'static str> {
        let of_line = results
            .faults
            .iter()
            .filter(|placed| placed.line == line && placed.fault.is_error());
        of_line.map(|placed| placed.fault.code.word()).collect()
    };
    let mut wrong = Vec::new();
    let constants = results
        .faults
        .iter()
        .filter(|placed| placed.fault.code == Code::CONSTANT_WITH_CONVERSION);
    for placed in constants {
        let before = errors(results, placed.line);
        for fix in &placed.fault.fixes {
            let mut source = placed.source.clone();
            source.replace_range(fix.span.start as usize..fix.span.end as usize, &fix.replacement);
            let again = Engine::new(text::read(&block.text.replacen(&placed.source, &source, 1)));
            let mut after = errors(again.results(), placed.line);
            after.retain(|code| !before.contains(code));
            if !after.is_empty() {
                let on_page = (placed.line as usize + block.first).saturating_sub(block.added + 1);
                wrong.push((
                    on_page,
                    format!("what is offered is {}: {}", after.join(", "), source.trim()),
                ));
            }
        }
    }
    wrong
}

fn compare(results: &Results, sheet: usize, statement: &Statement, expected: &Expected) -> Result<(), String> {
    let sheet = &results.sheets[sheet];
    match statement {
        Statement::Quantity(quantity) => {
            let found = sheet
                .quantities
                .iter()
                .find(|found| found.name == quantity.name)
                .ok_or("no such quantity in the results")?;
            quantity_is(found, expected)
        }
        Statement::CasesOver { name, .. } => {
            let found = sheet
                .quantities
                .iter()
                .find(|found| found.name == *name)
                .ok_or("no such quantity in the results")?;
            quantity_is(found, expected)
        }
        Statement::Check { formula, .. } => check_is(sheet.checks.iter(), &formula.text, expected),
        Statement::Flag { formula, .. } => check_is(sheet.flags.iter(), &formula.text, expected),
        _ => Err("nothing is worked in this line".to_owned()),
    }
}

fn check_is<'a>(
    mut checks: impl Iterator<Item = &'a CheckResults>,
    formula: &str,
    expected: &Expected,
) -> Result<(), String> {
    let found = checks
        .find(|check| *check.formula == *formula)
        .ok_or("no such check in the results")?;
    let said: Vec<String> = found
        .cells
        .iter()
        .map(|cell| match cell.holds {
            Some(_) if cell.in_doubt => "in doubt".to_owned(),
            Some(true) => "yes".to_owned(),
            Some(false) => "no".to_owned(),
            None => "_".to_owned(),
        })
        .collect();
    match expected {
        Expected::Value(expected) => {
            // `yes 10 %` asks for the margin, too.
            let parts: Vec<&str> = expected.split('|').map(str::trim).collect();
            let with_margins: Vec<String> = found
                .cells
                .iter()
                .zip(&said)
                .map(|(cell, said)| format!("{said} {}", cell.margins().unwrap_or_default()))
                .collect();
            let parts = spread(&parts, said.len());
            if parts == said || parts == with_margins {
                Ok(())
            } else {
                Err(format!("found {}", with_margins.join(" | ")))
            }
        }
        Expected::Blank if said.iter().all(|said| said == "_") => Ok(()),
        _ => Err(format!("found {}", said.join(" | "))),
    }
}

fn spread(parts: &[&str], count: usize) -> Vec<String> {
    match parts {
        [one] => vec![(*one).to_owned(); count],
        many => many.iter().map(|part| (*part).to_owned()).collect(),
    }
}

fn quantity_is(found: &QuantityResults, expected: &Expected) -> Result<(), String> {
    match expected {
        Expected::Kind(kind) => match &found.sort {
            Sort::Quantity { kind: Some(found), .. } if found.words() == *kind => Ok(()),
            other => Err(format!("found the sort {other:?}")),
        },
        Expected::Blank => match found.cells.iter().find(|cell| !matches!(cell, Outcome::Blank(_))) {
            None => Ok(()),
            Some(cell) => Err(format!("found {cell:?}")),
        },
        Expected::Value(values) => {
            let parts: Vec<&str> = values.split('|').map(str::trim).collect();
            let parts = spread(&parts, found.cells.len());
            if parts.len() != found.cells.len() {
                return Err(format!("{} cells stand there", found.cells.len()));
            }
            for (part, cell) in parts.iter().zip(found.cells.iter()) {
                cell_is(cell, &found.sort, part)?;
            }
            Ok(())
        }
        Expected::Band(bands) => {
            let parts: Vec<&str> = bands.split('|').map(str::trim).collect();
            let parts = spread(&parts, found.cells.len());
            if parts.len() != found.cells.len() {
                return Err(format!("{} cells stand there", found.cells.len()));
            }
            for (item, part) in parts.iter().enumerate() {
                match (found.band(item), part.split_once(" … ")) {
                    (None, None) => {}
                    (Some(band), Some((low, high))) => {
                        for (found, text) in [(band.low, low), (band.high, high)] {
                            let value: f64 = text.parse().map_err(|_| format!("{text} is no number"))?;
                            let places = text.split_once('.').map_or(0, |(_, places)| places.len());
                            let half = match places {
                                0 => 1e-9,
                                places => 0.5 * 10_f64.powi(-i32::try_from(places).unwrap()) * (1.0 + 1e-6),
                            };
                            if (found - value).abs() > half {
                                return Err(format!(
                                    "found the band {} … {} {}",
                                    band.low,
                                    band.high,
                                    band.how.word()
                                ));
                            }
                        }
                    }
                    (band, _) => return Err(format!("found the band {band:?}")),
                }
            }
            Ok(())
        }
        Expected::Fault(..) | Expected::Mended(_) => Ok(()),
    }
}

fn cell_is(cell: &Outcome, sort: &Sort, expected: &str) -> Result<(), String> {
    let found = || match cell {
        Outcome::Value(Value::Number(number)) => match sort {
            Sort::Quantity { unit, .. } => format!("found {} {}", show::exact(number), unit.text),
            _ => format!("found {}", show::exact(number)),
        },
        other => format!("found {other:?}"),
    };
    match (cell, sort) {
        (Outcome::Blank(_), _) if expected == "_" => Ok(()),
        (Outcome::Value(Value::Text(text)), _) if expected.trim_matches('"') == &**text => Ok(()),
        (Outcome::Value(Value::Truth(truth)), _) if expected == if *truth { "yes" } else { "no" } => Ok(()),
        (
            Outcome::Value(_),
            Sort::Quantity {
                unit, phasor: Some(_), ..
            },
        ) => phasor_is(cell, &unit.text, expected),
        (Outcome::Value(Value::Number(number)), Sort::Quantity { unit, .. }) => {
            let (digits, wanted) = match expected.split_once(' ') {
                Some((digits, unit)) => (digits, unit.trim()),
                None => (expected, ""),
            };
            let wanted_unit = if wanted.is_empty() {
                Unit::plain()
            } else {
                Unit::parse(wanted).map_err(|fault| format!("the page expects a unit that is not known: {fault:?}"))?
            };
            let same = if wanted.is_empty() {
                unit.is_plain()
            } else {
                unit.text == wanted_unit.text
            };
            let value: Decimal = match digits.contains(['e', 'E']) {
                true => Decimal::from_scientific(digits).map_err(|_| format!("{digits} is no number"))?,
                false => digits.parse().map_err(|_| format!("{digits} is no number"))?,
            };
            let exponent: i32 = digits
                .split(['e', 'E'])
                .nth(1)
                .map_or(Ok(0), str::parse)
                .map_err(|_| format!("{digits} is no number"))?;
            let places = digits
                .split(['e', 'E'])
                .next()
                .and_then(|mantissa| mantissa.split_once('.'))
                .map_or(0, |(_, places)| places.len());
            let half = 0.5 * 10_f64.powi(exponent - i32::try_from(places).unwrap());
            let value: f64 = value.to_string().parse().unwrap();
            let given = number.to_f64();
            if same && (given - value).abs() <= half * (1.0 + 1e-9) + given.abs() * 1e-15 {
                Ok(())
            } else {
                Err(found())
            }
        }
        _ => Err(found()),
    }
}

/// `3 - j*4 Ω`, to all digits given, zeros within what a float can tell.
fn phasor_is(cell: &Outcome, unit: &str, expected: &str) -> Result<(), String> {
    let found = cell.as_phasor().ok_or("found no phasor")?;
    let wrong = || Err(format!("found {:?} {unit}", show::exact_parts(&found)));
    let mut words = expected.split(' ');
    let (Some(re), Some(sign), Some(im)) = (words.next(), words.next(), words.next()) else {
        return Err("the page expects no phasor, and one was found".to_owned());
    };
    let wanted = words.next().unwrap_or("1");
    let im = im.strip_prefix("j*").ok_or("a phasor is expected as `3 - j*4 Ω`")?;
    for (found, text, sign) in [(found.re(), re, "+"), (found.im(), im, sign)] {
        let value: f64 = text.parse().map_err(|_| format!("{text} is no number"))?;
        let value = if sign == "-" { -value } else { value };
        let places = text.split_once('.').map_or(0, |(_, places)| places.len());
        let half = match places {
            0 => 1e-12,
            places => 0.5 * 10_f64.powi(-i32::try_from(places).unwrap()) * (1.0 + 1e-9),
        };
        if (found - value).abs() > half + found.abs() * 1e-14 {
            return wrong();
        }
    }
    if unit == wanted { Ok(()) } else { wrong() }
}

#[test]
fn pages() {
    let folder = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/language");
    let mut pages: Vec<PathBuf> = std::fs::read_dir(&folder)
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|extension| extension == "md"))
        .collect();
    pages.sort();
    assert!(!pages.is_empty());
    let (mut count, mut expected) = (0, 0);
    let mut wrong = Vec::new();
    for page in pages {
        let name = page.file_name().unwrap().to_string_lossy().into_owned();
        for block in blocks(&std::fs::read_to_string(&page).unwrap()) {
            count += 1;
            let expectations: usize = block.text.lines().map(|line| expectations(line).len()).sum();
            assert!(expectations > 0, "{name}:{}: a block that expects nothing", block.first);
            expected += expectations;
            for (line, message) in run(&block) {
                wrong.push(format!("{name}:{line}: {message}"));
            }
        }
    }
    println!("{count} blocks, {expected} expectations");
    assert!(wrong.is_empty(), "{} are wrong:\n{}", wrong.len(), wrong.join("\n"));
}

/// The runner itself must notice what is wrong.
#[test]
fn runner_notices() {
    let cases = [
        ("work a = 2 kW  #= 2 kW", 0),
        ("work a = 2 kW  #= 2.1 kW", 1),
        ("work a = 2 kW  #= 2 W", 1),
        ("work a = 2.04 kW  #= 2.0 kW", 0),
        ("work a = 2.06 kW  #= 2.0 kW", 1),
        ("work a = nothing_known", 1),
        ("work a = nothing_known  #! unknown-name", 0),
        ("work a = 2 kW  #! unknown-name", 1),
        ("work a = 2 kW  #_", 1),
        ("given a in kW  #_", 0),
        ("work a = 2 kW : shaft power  #: shaft power", 0),
        ("work a = 2 kW : shaft power  #: torque", 1),
        ("work a = 1,5 kW  #! number-form #> 1.5 kW", 0),
        ("work a = 1,5 kW  #! number-form #> 15 kW", 1),
        ("work a = 1,5 kVAR  #! number-form unknown-unit #> 1.5 kVAR", 1),
        ("work a = 1.5 kW  #= 1.5 kW #> 1.5 kW", 1),
        ("check 2 kW > 1 kW  #= yes", 0),
        ("check 2 kW > 1 kW  #= no", 1),
        ("check 2 kW >= 1 kW  #= yes 100 %", 0),
    ];
    for (line, expected) in cases {
        let found = run(&block(1, &[line]));
        assert_eq!(found.len(), expected, "{line}: {found:?}");
    }
}
