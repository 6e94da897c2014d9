//! The page: a worked workbook set for reading on a terminal or on paper.
//!
//! For: `polepair work`, and whoever pipes it into a file.
//! Always: what was typed, worked, is missing, refused or failed differs by a mark and by weight, not by colour alone; rounding
//! is that of `quantity::show`; a text from outside cannot steer the terminal.
//! Not known here: how anything was worked, and where the page goes.

mod sheet;
pub mod table;
mod trace;

use crate::fault::render::{self, clean};
use crate::fault::{Placed, Severity};
use crate::language::check::Sort;
use crate::language::work::{Outcome, Value};
use crate::quantity::{Number, PhasorForm};
use crate::recalc::{QuantityResults, Results, SheetResults, count_of, form_of, number_of, phasor_of};
use crate::workbook::{Role, Rounding, Source, SourceWord, Statement, Workbook};

#[cfg(test)]
mod tests;

pub use table::Ink;
use table::wrap;
pub use trace::{TraceOf, traces};

/// How many faults are shown whole; the rest is counted.
const FAULTS_SHOWN: usize = 30;

/// Where a page goes.
#[derive(Clone, Copy, Debug)]
pub struct Look<'a> {
    /// Columns of the terminal.
    pub width: usize,
    /// Whether colour and bold may be used.
    pub colour: bool,
    /// Name of the workbook's file, for places and hints.
    pub file: Option<&'a str>,
}

/// The whole page.
pub fn page(workbook: &Workbook, results: &Results, look: &Look<'_>) -> String {
    let mut out: Vec<String> = Vec::new();
    head(&mut out, workbook, look);
    for sheet in &results.sheets {
        sheet::sheet(&mut out, sheet, look);
    }
    if results.sheets.is_empty() && results.faults.is_empty() {
        out.push("the workbook has no sheets yet: begin one with `sheet NAME` or `list NAME`".to_owned());
    }
    legend(&mut out, results, look);
    accepted(&mut out, results, look);
    faults(&mut out, &results.faults, look);
    caution(&mut out, results, look);
    summary(&mut out, results, look);
    let mut text = out.join("\n");
    text.push('\n');
    text
}

/// One list or sheet alone, with its notes; what is wrong with it stands elsewhere.
pub fn part(sheet: &SheetResults, look: &Look<'_>) -> String {
    let mut out: Vec<String> = Vec::new();
    sheet::sheet(&mut out, sheet, look);
    let mut text = out.join("\n");
    text.push('\n');
    text
}

/// Title, and who made it for whom.
fn head(out: &mut Vec<String>, workbook: &Workbook, look: &Look<'_>) {
    if !workbook.title.is_empty() {
        for line in wrap(&one_line(&workbook.title), look.width) {
            out.push(Ink::Title.on(&line, look.colour));
        }
    }
    for line in &workbook.head {
        if let Statement::About(what, text) = &line.statement {
            let about = format!("{}: {}", one_line(what), one_line(text));
            out.extend(
                wrap(&about, look.width)
                    .into_iter()
                    .map(|l| Ink::Faint.on(&l, look.colour)),
            );
        }
    }
    for line in &workbook.head {
        if let Statement::Note(text) = &line.statement {
            out.extend(wrap(&clean(text), look.width));
        }
    }
}

/// The marks that this page uses.
fn legend(out: &mut Vec<String>, results: &Results, look: &Look<'_>) {
    let quantities = || results.sheets.iter().flat_map(|s| &s.quantities);
    let cells =
        |wanted: fn(&QuantityResults, &Outcome) -> bool| quantities().any(|q| q.cells.iter().any(|c| wanted(q, c)));
    let mut used = Vec::new();
    for role in [Role::Given, Role::Work, Role::Seek] {
        if quantities().any(|q| q.role == role) {
            used.push(format!("{} {}", role_mark(role), role_word(role)));
        }
    }
    if cells(|q, c| matches!(c, Outcome::Blank(_)) && q.role == Role::Given) {
        used.push(format!("{MISSING} not given"));
    }
    if cells(|q, c| matches!(c, Outcome::Blank(_)) && q.role != Role::Given) {
        used.push(format!("{REFUSED} not worked, the note says why"));
    }
    if cells(|_, c| matches!(c, Outcome::Fault(_))) {
        used.push(format!("{FAILED} fault"));
    }
    let over = quantities().any(|q| !q.over.is_empty());
    if over || quantities().any(|q| q.own.iter().any(|item| q.is_of_its_own(*item))) {
        let what = if over { "a formula or a number" } else { "a formula" };
        used.push(format!("{OWN} has {what} of its own"));
    }
    if used.len() > 1 {
        out.push(String::new());
        let mut line = String::new();
        for entry in used {
            if !line.is_empty() && table::width(&line) + 3 + table::width(&entry) > look.width {
                out.push(Ink::Faint.on(&std::mem::take(&mut line), look.colour));
            }
            if !line.is_empty() {
                line.push_str("   ");
            }
            line.push_str(&entry);
        }
        out.push(Ink::Faint.on(&line, look.colour));
    }
}

/// Warnings the author has settled.
fn accepted(out: &mut Vec<String>, results: &Results, look: &Look<'_>) {
    if results.accepted.is_empty() {
        return;
    }
    out.push(String::new());
    out.push(Ink::Strong.on("Accepted by the author", look.colour));
    for settled in &results.accepted {
        let placed = &settled.placed;
        let text = format!(
            "line {}, {}: {} Reason: {}",
            placed.line,
            placed.fault.code,
            one_line(&full_stop(&placed.fault.message)),
            one_line(&settled.reason)
        );
        hang(out, "  ~ ", &text, look.width);
    }
}

/// Faults with their source lines, errors first.
fn faults(out: &mut Vec<String>, faults: &[Placed], look: &Look<'_>) {
    if faults.is_empty() {
        return;
    }
    let style = render::Style {
        file: Some(look.file.unwrap_or("workbook")),
        colour: look.colour,
        width: look.width,
        explain: true,
    };
    let mut sorted: Vec<&Placed> = faults.iter().collect();
    sorted.sort_by_key(|p| std::cmp::Reverse(p.fault.severity));
    for placed in sorted.iter().take(FAULTS_SHOWN) {
        out.push(String::new());
        out.extend(render::full(placed, &style).lines().map(str::to_owned));
    }
    let left = faults.len().saturating_sub(FAULTS_SHOWN);
    if left > 0 {
        out.push(String::new());
        let all = look.file.map_or(String::new(), |file| {
            format!("; all of them: polepair work {file} --json")
        });
        out.push(format!("… and {left} more{all}"));
    }
}

/// A short word of care where a page rests on readings or on what a motor does at its limits. Once a page.
fn caution(out: &mut Vec<String>, results: &Results, look: &Look<'_>) {
    let quantities = || results.sheets.iter().flat_map(|s| &s.quantities);
    let kind_has = |word: &str| {
        quantities().any(|q| match &q.sort {
            Sort::Quantity { kind: Some(kind), .. } => kind.words().contains(word),
            _ => false,
        })
    };
    let mut words = Vec::new();
    if quantities().any(|q| q.source.as_ref().is_some_and(|s| s.word == SourceWord::Measured)) {
        words.push("Measuring on live or turning machines is for people trained and authorised to do it.");
    }
    if kind_has("locked") || kind_has("starting") {
        words.push("A locked-rotor test heats a motor within seconds and holds full torque on the shaft.");
    }
    if kind_has("service factor") {
        words.push("A service factor is a reserve, not a rating to run at.");
    }
    let protects = ["nec_430_250", "nec_430_248", "nec_430_52", "nec_430", "nec_240_6"];
    if quantities().any(|q| q.tables.iter().any(|table| protects.contains(&table.name))) {
        words.push(
            "Currents of conductors and settings of protection are figures to check: authorised people set them, and the local code governs.",
        );
    }
    if kind_has("capacitor") || kind_has("capacitance") {
        words.push(
            "Capacitors stay charged after switching off; at a motor's terminals too many of them excite it to overvoltage when it runs on.",
        );
    }
    let hoists = results
        .sheets
        .iter()
        .flat_map(|sheet| std::iter::once(&sheet.title).chain(sheet.quantities.iter().map(|quantity| &quantity.title)))
        .any(|title| title.to_lowercase().contains("hoist"));
    if hoists {
        words.push(
            "Nobody stands under a hoisted load; brakes of hoists and the lifting of people have rules of their own.",
        );
    }
    if !words.is_empty() {
        words.push("Results are estimates for qualified people; plate, maker's data and local code govern.");
        out.push(String::new());
        hang(out, "Care: ", &words.join(" "), look.width);
    }
}

/// The last line: what the page comes to.
fn summary(out: &mut Vec<String>, results: &Results, look: &Look<'_>) {
    let (mut holds, mut fails, mut open, mut doubtful) = (0_usize, 0_usize, 0_usize, 0_usize);
    for verdict in results.sheets.iter().flat_map(|s| &s.checks).flat_map(|c| &c.cells) {
        match verdict.holds {
            Some(_) if verdict.in_doubt => doubtful += 1,
            Some(true) => holds += 1,
            Some(false) => fails += 1,
            None => open += 1,
        }
    }
    let errors = results
        .faults
        .iter()
        .filter(|p| p.fault.severity == Severity::Error)
        .count();
    let warnings = results
        .faults
        .iter()
        .filter(|p| p.fault.severity == Severity::Warning)
        .count();
    let mut parts = Vec::new();
    let mut ink = Ink::Good;
    let all = holds + fails + open + doubtful;
    if all > 0 {
        let mut text = match (holds, fails) {
            (h, 0) if h == all => format!(
                "{} {}",
                GOOD,
                if all == 1 {
                    "the check holds".to_owned()
                } else {
                    format!("all {all} checks hold")
                }
            ),
            (_, 0) => format!("{holds} of {all} checks hold"),
            (_, f) => format!(
                "{BAD} {f} of {all} {} not hold",
                if f == 1 { "checks does" } else { "checks do" }
            ),
        };
        if doubtful > 0 {
            text.push_str(&format!(", {doubtful} in doubt"));
            ink = Ink::Doubt;
        }
        if open > 0 {
            text.push_str(&format!(", {open} not worked"));
            ink = Ink::Doubt;
        }
        if fails > 0 {
            ink = Ink::Bad;
        }
        parts.push(text);
    }
    if errors > 0 {
        ink = Ink::Bad;
        parts.push(format!("{FAILED} {}", count(errors, "fault")));
    }
    if warnings > 0 {
        ink = if ink == Ink::Good { Ink::Doubt } else { ink };
        parts.push(count(warnings, "warning"));
    }
    if !parts.is_empty() {
        out.push(String::new());
        out.push(ink.on(&parts.join("; "), look.colour));
    }
}

/// Mark of what is not given.
pub(crate) const MISSING: &str = "—";
/// Mark of a result that is blank.
pub(crate) const REFUSED: &str = "∅";
/// Mark of a fault.
pub(crate) const FAILED: &str = "!";
/// Mark of a cell with a formula of its own.
pub(crate) const OWN: &str = "*";
/// Mark of a check that holds.
pub(crate) const GOOD: &str = "✓";
/// Mark of a check that does not hold.
pub(crate) const BAD: &str = "✗";
/// Mark of a check that is not worked.
pub(crate) const OPEN: &str = "?";
/// A check that holds in some places within the tolerances and not in others.
pub(crate) const DOUBTFUL: &str = "±";

/// The mark of a role.
fn role_mark(role: Role) -> &'static str {
    match role {
        Role::Given => "›",
        Role::Work => "=",
        Role::Seek => "◦",
    }
}

/// What a role is called on the page.
fn role_word(role: Role) -> &'static str {
    match role {
        Role::Given => "given",
        Role::Work => "worked",
        Role::Seek => "sought",
    }
}

/// `1 fault`, `3 faults`.
pub(crate) fn count(number: usize, word: &str) -> String {
    format!("{number} {word}{}", if number == 1 { "" } else { "s" })
}

/// A text with a full stop, unless it ends with a sign already.
fn full_stop(text: &str) -> String {
    let end = text.trim_end();
    if end.ends_with(['.', '!', '?', ':', ';']) {
        end.to_owned()
    } else {
        format!("{end}.")
    }
}

/// A text from anywhere as one line without control characters.
fn one_line(text: &str) -> String {
    clean(text).replace('\n', " ")
}

/// A text wrapped behind a first mark, further lines indented under it.
fn hang(out: &mut Vec<String>, mark: &str, text: &str, page: usize) {
    let indent = table::width(mark);
    for (index, line) in wrap(text, page.saturating_sub(indent).max(20)).into_iter().enumerate() {
        out.push(if index == 0 {
            format!("{mark}{line}")
        } else {
            format!("{}{line}", " ".repeat(indent))
        });
    }
}

/// `measured "2 March"`
fn source_words(source: &Source) -> String {
    let word = source.word.word();
    source
        .text
        .as_ref()
        .map_or_else(|| word.to_owned(), |text| format!("{word} \"{}\"", one_line(text)))
}

/// The unit as shown beside values, empty for plain numbers and for what is no quantity.
fn unit_text(sort: &Sort) -> String {
    match sort {
        Sort::Quantity { unit, .. } if &*unit.text != "1" => unit.text.to_string(),
        _ => String::new(),
    }
}

/// A value as shown. What was typed is shown as typed; what was worked is rounded.
fn value_text(value: &Value, sort: &Sort, role: Role, rounding: Option<&Rounding>) -> String {
    match (value, form_of(sort)) {
        (Value::Number(number), Some(form)) => return phasor_of(&(*number).into(), form, role, rounding),
        (Value::Phasor(phasor), form) => {
            return phasor_of(phasor, form.unwrap_or(PhasorForm::Rectangular), role, rounding);
        }
        _ => {}
    }
    match value {
        Value::Number(number) => {
            count_of(number, sort, rounding).unwrap_or_else(|| number_text(number, role, rounding))
        }
        Value::Phasor(_) => String::new(),
        Value::Text(text) => one_line(text),
        Value::Truth(true) => "yes".to_owned(),
        Value::Truth(false) => "no".to_owned(),
    }
}

fn number_text(number: &Number, role: Role, rounding: Option<&Rounding>) -> String {
    number_of(number, role, rounding)
}
