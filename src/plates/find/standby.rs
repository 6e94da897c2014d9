//! Which words say that a motor stands by, and which column says it.

use super::Table;
use super::cells::contents;
use crate::plates::own::Own;
use crate::plates::reads::Reads;
use crate::plates::store::{Content, Grid};
use crate::plates::words;

/// What a cell says of standing by, in a column of nothing else.
pub fn stands_by(text: &str, own: &Own) -> Option<bool> {
    let says = own.words.cells().whole(&words::folded(text));
    let any = |meaning: &str| says.iter().any(|phrase| phrase.says == meaning);
    if any("standby") || any("stands_by") {
        Some(true)
    } else {
        any("on_duty").then_some(false)
    }
}

/// What a cell says under a heading that speaks of running or standing by: the first letter of one of its words (`R` under
/// `Running/Standby`), a word of its own there (`off`, `C` of `C/I/S`), a yes or no to `In service`.
pub fn stands_by_under(heading: &str, text: &str, own: &Own) -> Option<bool> {
    let cell = words::folded(text);
    let heading_words = words::words(heading);
    let mut signs = cell.chars();
    if let (Some(letter), None) = (signs.next(), signs.next()) {
        let begins = heading_words
            .iter()
            .filter(|word| word.len() > 1 && word.starts_with(letter));
        let told: Vec<bool> = begins.filter_map(|word| stands_by(word, own)).collect();
        if let [only] = told.as_slice() {
            return Some(*only);
        }
    }
    let is = |meaning: &str| own.words.is(text, meaning);
    let asks = asks_for_duty(heading, own);
    stands_by(text, own).or_else(|| {
        if is("stands_by_there") || asks && is("no") {
            Some(true)
        } else {
            (is("on_duty_there") || asks && is("yes")).then_some(false)
        }
    })
}

/// Whether a heading as a whole asks whether the motor runs: `In service`, `Running?`, `In Betrieb`.
fn asks_for_duty(heading: &str, own: &Own) -> bool {
    own.words.is(&words::words(heading).join(" "), "on_duty")
}

/// Whether a column says which motors stand by is told by its cells: `Duty/Standby` is no duty type, and `Duty` over D and S neither.
pub(super) fn settle_standby(grid: &Grid, own: &Own, table: &mut Table) {
    const ENOUGH: usize = 2;
    for index in 0..table.columns.len() {
        let Some(column) = table.columns.get(index) else {
            continue;
        };
        // `In service` over yes and no, whatever else its words may mean.
        let asks = asks_for_duty(&column.name, own);
        let may = matches!(column.reads, None | Some(Reads::Duty | Reads::Standby | Reads::Remarks)) || asks;
        if column.heading.settled || !may {
            continue;
        }
        let (mut said, mut standing, mut cells) = (0usize, 0usize, 0usize);
        let mut types = 0usize;
        for content in contents(grid, table, column.column).take(2000) {
            let words = match content {
                Content::Text(text) => Some(grid.text(*text)),
                _ => None,
            };
            let says = words.and_then(|text| {
                if asks || column.reads == Some(Reads::Standby) {
                    stands_by_under(&column.name, text, own)
                } else {
                    stands_by(text, own)
                }
            });
            // A motor out of service neither runs nor stands by.
            if says.is_none() && words.is_some_and(|text| own.words.is(text, "blank")) {
                continue;
            }
            cells += 1;
            let Some(text) = words else { continue };
            if let Some(stands_by) = says {
                said += 1;
                standing += usize::from(stands_by);
            }
            types += usize::from(
                text.trim()
                    .strip_prefix(['S', 's'])
                    .is_some_and(|rest| rest.starts_with(|sign: char| sign.is_ascii_digit())),
            );
        }
        // A column without a heading that is known needs a motor that stands by: words of duty alone stand under many headings.
        let by_cells = cells >= ENOUGH
            && said * 10 >= cells * 8
            && (standing > 0 || column.reads.is_some() && types == 0 && said == cells);
        let reads = match column.reads {
            Some(Reads::Standby) if types * 2 > cells => Some(Reads::Duty),
            // Remarks may say it in some rows and other things in others.
            Some(Reads::Remarks) if said < cells || standing == said => continue,
            _ if by_cells => Some(Reads::Standby),
            _ => continue,
        };
        if let Some(column) = table.columns.get_mut(index)
            && column.reads != reads
        {
            column.reads = reads;
            column.heading.confidence = 0.85;
            column.heading.reason = match reads {
                Some(Reads::Duty) => "its cells are duty types",
                _ => "its cells say which motors stand by",
            }
            .to_owned();
        }
    }
}
