//! What a user says of lists of one origin: which heading holds what, and further words.
//!
//! For: settling a column once and keeping it as a small text file for the next list of the same origin.
//! Always: what is said here goes before what headings say by themselves; a line that is not understood is a fault with its
//! number, and nothing of the file is used then. A workbook of a list keeps what was said as remarks over its `read` line, so that
//! the list can be read again in the same way.
//! Not known here: files, sheets, cells.

use std::collections::HashMap;
use std::fmt::Write as _;
use std::sync::{Arc, OnceLock};

use super::cell;
use super::heading::may_share;
use super::reads::{PlateUnit, Reads};
use super::words::{self, Words};
use crate::quantity::nearest::nearest;

/// The first line of a column map.
pub const HEAD: &str = "polepair columns 1";

/// A column as the user says it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ColumnSaid {
    /// Its heading, as words.
    heading: String,
    /// Which of several with that heading, from 1.
    which: usize,
    /// The one table of the sheet it is said of, from 1; `None`: all of them.
    table: Option<usize>,
    /// The one sheet it is said of, folded; `None`: all of them.
    sheet: Option<String>,
    /// What it holds; `None`: nothing that is read.
    pub reads: Option<Reads>,
    /// What else stands in its cells: a second quantity, or whole nameplates.
    pub and: Option<Reads>,
    /// Unit of its numbers.
    pub unit: Option<PlateUnit>,
    /// Pole pairs stand where poles are meant.
    pub pairs: bool,
}

impl ColumnSaid {
    /// Whether it is said of this column, the `which`th of that heading from 1.
    pub fn is_of(&self, heading: &str, which: usize, at: TableAt<'_>) -> bool {
        self.which == which
            && self.heading == heading
            && self.table.is_none_or(|table| at.table.is_none_or(|at| at == table))
            && self
                .sheet
                .as_ref()
                .is_none_or(|sheet| *sheet == words::folded(at.sheet))
    }
}

/// Where a column stands.
#[derive(Clone, Copy, Debug)]
pub struct TableAt<'a> {
    /// Name of the sheet.
    pub sheet: &'a str,
    /// Which table of it, from 1; `None`: not known yet.
    pub table: Option<usize>,
}

/// Column map and further words of a user.
#[derive(Debug)]
pub struct Own {
    /// The words of headings and cells.
    pub words: Arc<Words>,
    columns: Vec<ColumnSaid>,
    /// All of it as lines of a column map.
    lines: Vec<String>,
}

/// Over the remarks of a workbook that say how the columns of its list were read.
const REMARK: &str = "read with this column map:";

/// What a remark of a workbook says of columns; none for every other one.
fn remarked(remark: &str) -> Option<&str> {
    let said = remark.trim().strip_prefix('#')?.trim();
    let is_line = ["column \"", "word \""].iter().any(|word| said.starts_with(word));
    (is_line || said == REMARK).then_some(said)
}

/// Remarks of a `read` line with what was said of columns in the place of what was said before.
pub fn with_remarks(before: &str, said: &str) -> String {
    let kept = before.split_inclusive('\n').filter(|line| remarked(line).is_none());
    kept.chain(said.split_inclusive('\n').filter(|line| remarked(line).is_some()))
        .collect()
}

/// What is wrong in a line of a column map or of a file of words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OwnFault {
    /// In the file of words, else in the column map.
    pub in_words: bool,
    /// Line from 1.
    pub line: usize,
    /// What was found and what was expected.
    pub message: String,
    /// What to try.
    pub help: String,
}

impl Own {
    /// Nothing but the tables.
    pub fn usual() -> &'static Own {
        static USUAL: OnceLock<Own> = OnceLock::new();
        USUAL.get_or_init(|| Own {
            words: Arc::new(Words::with(&[])),
            columns: Vec::new(),
            lines: Vec::new(),
        })
    }

    /// Of the text of a column map and of a file of words, each if there is one.
    ///
    /// # Errors
    /// All lines that are not understood: of the map first.
    pub fn read(map: Option<&str>, words: Option<&str>) -> Result<Own, Vec<OwnFault>> {
        let mut faults = Vec::new();
        let mut phrases: Vec<(&'static str, String)> = Vec::new();
        let columns = map.map_or_else(Vec::new, |text| columns_of(text, &mut phrases, &mut faults));
        if let Some(text) = words {
            words_of(text, &mut phrases, &mut faults);
        }
        if !faults.is_empty() {
            return Err(faults);
        }
        let said = map
            .unwrap_or("")
            .lines()
            .map(|line| line.trim_start_matches('\u{feff}').trim());
        let of_map = said.filter(|line| line.starts_with("column") || line.starts_with("word"));
        let of_words = phrases.get(of_map.clone().filter(|line| line.starts_with("word")).count()..);
        let of_words = of_words.unwrap_or(&[]).iter();
        let of_words = of_words.map(|(says, phrase)| format!("word \"{}\" = {says}", phrase.replace('"', "\"\"")));
        Ok(Own {
            words: Arc::new(Words::with(&phrases)),
            columns,
            lines: of_map.map(str::to_owned).chain(of_words).collect(),
        })
    }

    /// What a workbook remarks of its list over its `read` line; none where nothing was said.
    pub fn of_remarks(before: &str) -> Option<Own> {
        let lines = before.lines().filter_map(remarked).filter(|line| *line != REMARK);
        let map = std::iter::once(HEAD).chain(lines).collect::<Vec<_>>();
        (map.len() > 1).then(|| Own::read(Some(&map.join("\n")), None).ok())?
    }

    /// The same as remarks, each with its line end; empty where nothing was said.
    pub fn remarks(&self) -> String {
        let mut out = String::new();
        for (at, line) in self.lines.iter().enumerate() {
            if at == 0 {
                let _ = writeln!(out, "  # {REMARK}");
            }
            let _ = writeln!(out, "  # {line}");
        }
        out
    }

    /// What the user says of the column with this heading, the `which`th of that heading from 1.
    ///
    /// What is said of one table or sheet goes before what is said of all.
    pub fn said(&self, heading: &str, which: usize, at: TableAt<'_>) -> Option<&ColumnSaid> {
        if self.columns.is_empty() {
            return None;
        }
        let heading = words::key(heading);
        let of = self.columns.iter().filter(|said| said.is_of(&heading, which, at));
        of.min_by_key(|said| (said.table.is_none(), said.sheet.is_none()))
    }

    /// What is said of columns, in the order of the map.
    pub fn columns(&self) -> &[ColumnSaid] {
        &self.columns
    }

    /// The same words, and of what is said of columns only this.
    pub fn with_columns(&self, columns: Vec<ColumnSaid>) -> Own {
        Own {
            words: self.words.clone(),
            columns,
            lines: self.lines.clone(),
        }
    }

    /// Whether a column map was given.
    pub fn has_columns(&self) -> bool {
        !self.columns.is_empty()
    }
}

fn columns_of(text: &str, phrases: &mut Vec<(&'static str, String)>, faults: &mut Vec<OwnFault>) -> Vec<ColumnSaid> {
    let mut columns: Vec<ColumnSaid> = Vec::new();
    let mut begun = false;
    for (number, line) in text.lines().enumerate() {
        let line = line.trim_start_matches('\u{feff}').trim();
        if line.is_empty() || line.starts_with('#') {
            continue;
        }
        let mut fault = |message: String, help: String| {
            faults.push(OwnFault {
                in_words: false,
                line: number + 1,
                message,
                help,
            });
        };
        if !begun {
            begun = true;
            if line == HEAD {
                continue;
            }
            fault(
                format!(
                    "a column map begins with the line {HEAD}, and this one with {}",
                    short(line)
                ),
                "write one with polepair import LIST --write-map FILE, then change it".to_owned(),
            );
        }
        let (word, rest) = line.split_once(char::is_whitespace).unwrap_or((line, ""));
        let usage = || {
            "lines are: column \"HEADING\" = rated_power in kW, column \"HEADING\" = nothing, word \"PHRASE\" = rated_power"
                .to_owned()
        };
        if !matches!(word, "column" | "word") {
            fault(
                format!("a line begins with column or word, not with {}", short(word)),
                usage(),
            );
            continue;
        }
        let Some((name, rest)) = in_quotes(rest) else {
            fault(format!("after {word} comes a text in double quotes"), usage());
            continue;
        };
        let Some((which, said)) = rest.rsplit_once('=') else {
            fault(format!("an equals sign is missing after {}", short(&name)), usage());
            continue;
        };
        let (of, said) = (which.trim(), said.trim());
        if word == "word" {
            match meaning(said) {
                Ok(says) => phrases.push((says, name)),
                Err((message, help)) => fault(message, help),
            }
            continue;
        }
        let Some((which, table, sheet)) = which_of(of) else {
            fault(
                format!(
                    "between the heading and the equals sign stands {}, not a count, a table or a sheet",
                    short(of)
                ),
                "column \"Amps\" 2 = measured_current is the second column called Amps; \"Amps\" of table 2, \"Amps\" of sheet \"Motors\" \
                 are those of one table or sheet"
                    .to_owned(),
            );
            continue;
        };
        match holds(said) {
            Ok(held) => columns.push(ColumnSaid {
                heading: words::key(&name),
                which,
                table,
                sheet,
                ..held
            }),
            Err((message, help)) => fault(message, help),
        }
    }
    columns
}

/// Which column of a heading: `2`, `of table 3`, `2 of table 3 of sheet "Motors"`; empty is the first in every table.
fn which_of(text: &str) -> Option<(usize, Option<usize>, Option<String>)> {
    let count = |text: &str| text.parse::<usize>().ok().filter(|count| *count > 0);
    let (mut which, mut table, mut sheet) = (1, None, None);
    let mut rest = text;
    if let Some((first, more)) = rest.split_once(' ').or(Some((rest, "")))
        && let Some(found) = count(first)
    {
        which = found;
        rest = more.trim();
    }
    while !rest.is_empty() {
        rest = rest.strip_prefix("of ")?.trim_start();
        if let Some(more) = rest.strip_prefix("table ") {
            let (number, more) = more.trim_start().split_once(' ').unwrap_or((more.trim_start(), ""));
            table = Some(count(number)?);
            rest = more.trim_start();
        } else {
            let (name, more) = in_quotes(rest.strip_prefix("sheet")?)?;
            sheet = Some(words::folded(&name));
            rest = more.trim_start();
        }
    }
    Some((which, table, sheet))
}

/// What a column is said to hold: `rated_power in kW`, `efficiency and power_factor in %`, `poles in pairs`, `nothing`.
fn holds(said: &str) -> Result<ColumnSaid, (String, String)> {
    let mut held = ColumnSaid {
        heading: String::new(),
        which: 1,
        table: None,
        sheet: None,
        reads: None,
        and: None,
        unit: None,
        pairs: false,
    };
    let (key, unit) = match said.split_once(" in ") {
        Some((key, unit)) => (key.trim(), Some(unit.trim())),
        None => (said, None),
    };
    if key == "nothing" {
        return Ok(held);
    }
    let known = |key: &str| {
        Reads::find(key).ok_or_else(|| {
            let keys: Vec<&str> = Reads::ALL.iter().map(|reads| reads.key()).collect();
            (format!("no column holds {}", short(key)), nearest_of(key, &keys))
        })
    };
    let (key, and) = match key.split_once(" and ") {
        Some((key, and)) => (key.trim(), Some(and.trim())),
        None => (key, None),
    };
    let reads = known(key)?;
    held.reads = Some(reads);
    if let Some(and) = and {
        let second = known(and)?;
        let fits = may_share(reads, second) || second == Reads::Nameplate && may_hold_plates(reads);
        if !fits {
            return Err((
                format!("no column is read as {key} and {and} in one"),
                "two in one are, for example, efficiency and power_factor, voltage and rated_current, model and nameplate"
                    .to_owned(),
            ));
        }
        held.and = Some(second);
    }
    let Some(unit) = unit else {
        return Ok(held);
    };
    if reads == Reads::Poles && unit == "pairs" {
        held.pairs = true;
        return Ok(held);
    }
    match cell::units_only(unit).as_slice() {
        [only] if only.fits(reads) => {
            held.unit = Some(*only);
            Ok(held)
        }
        [_] => Err((
            format!("{key} cannot be in {unit}"),
            format!("it is kept in {}", reads.usual().text()),
        )),
        _ => Err((
            format!("{} is no unit of plates", short(unit)),
            "units are kW, W, hp, PS, kVA, V, kV, A, r/min, Hz, %, h, N·m, kg; poles in pairs".to_owned(),
        )),
    }
}

/// Whether whole nameplates may stand in a column of this beside it.
pub fn may_hold_plates(reads: Reads) -> bool {
    matches!(reads, Reads::Description | Reads::Remarks | Reads::Model)
}

/// Words in the form of the tables: what a phrase says, the language, the phrase.
fn words_of(text: &str, phrases: &mut Vec<(&'static str, String)>, faults: &mut Vec<OwnFault>) {
    for (number, line) in text.lines().enumerate() {
        let line = line.trim_start_matches('\u{feff}').trim();
        if line.is_empty() || line.starts_with("# ") || line == "#" {
            continue;
        }
        let mut fault = |message: String, help: String| {
            faults.push(OwnFault {
                in_words: true,
                line: number + 1,
                message,
                help,
            });
        };
        let mut fields = line.splitn(3, ';').map(str::trim);
        let (Some(says), Some(_), Some(phrase)) = (fields.next(), fields.next(), fields.next()) else {
            fault(
                "a line of words has three fields: what it says, the language, the phrase".to_owned(),
                "for example tag;de;Betriebsmittel".to_owned(),
            );
            continue;
        };
        if words::words(phrase).is_empty() && words::folded(phrase).is_empty() {
            fault(
                "the phrase is empty".to_owned(),
                "for example tag;de;Betriebsmittel".to_owned(),
            );
            continue;
        }
        match meaning(says) {
            Ok(says) => phrases.push((says, phrase.to_owned())),
            Err((message, help)) => fault(message, help),
        }
    }
}

fn meaning(said: &str) -> Result<&'static str, (String, String)> {
    let all = Words::all_meanings();
    match all.iter().find(|known| **known == said) {
        Some(known) => Ok(known),
        None => Err((format!("no word says {}", short(said)), nearest_of(said, &all))),
    }
}

fn nearest_of(word: &str, known: &[&str]) -> String {
    match nearest(word, known.iter().copied(), 3).as_slice() {
        [] => format!("known are {}", known.join(", ")),
        near => format!("did you mean {}?", near.join(" or ")),
    }
}

/// A text in double quotes and what follows; `""` inside is one quote.
fn in_quotes(text: &str) -> Option<(String, &str)> {
    let mut rest = text.trim_start().strip_prefix('"')?;
    let mut inside = String::new();
    loop {
        let end = rest.find('"')?;
        inside.push_str(rest.get(..end)?);
        rest = rest.get(end + 1..)?;
        match rest.strip_prefix('"') {
            Some(more) => {
                inside.push('"');
                rest = more;
            }
            None => return Some((inside, rest)),
        }
    }
}

fn short(text: &str) -> String {
    let cut: String = text.chars().take(40).collect();
    format!("\"{cut}\"")
}

/// A column for a map to be written.
#[derive(Clone, Copy, Debug)]
pub struct ColumnNow<'a> {
    /// Which table of the sheet.
    pub table: usize,
    /// Its heading.
    pub heading: &'a str,
    /// The key of what it was taken for.
    pub reads: Option<&'a str>,
    /// The key of what else stands in its cells.
    pub and: Option<&'a str>,
    /// Its unit, as the list writes it over the column or as the user says.
    pub unit: Option<&'a str>,
    /// Pole pairs.
    pub pairs: bool,
    /// From 0 to 1.
    pub confidence: f64,
    /// Why.
    pub reason: &'a str,
    /// The unit it was read in where the list writes none, or another one.
    pub guessed: Option<&'a str>,
    /// Its unit is settled by the line: that of a rating.
    pub settles_unit: bool,
    /// Settled by the user.
    pub by_hand: bool,
}

/// The text of a column map: what was understood, each column with the reason, to be changed by hand.
pub fn written<'a>(file: &str, columns: impl IntoIterator<Item = ColumnNow<'a>>) -> String {
    let mut text = format!(
        "{HEAD}\n# The columns of {} and what they were taken for. Change what is wrong; \"nothing\" leaves a column as it stands.\n\
         # Two in one cell are joined by \"and\": efficiency and power_factor, model and nameplate. A line left as it is changes nothing.\n\
         # A line is for all tables of the list; of one: column \"HEADING\" of table 2 = …, column \"HEADING\" of sheet \"NAME\" = …\n\
         # Use it: polepair import LIST --map THIS-FILE. Further words of your lists go on lines such as: word \"Betriebsmittel\" = tag\n",
        file.replace(['\n', '\r'], " ")
    );
    let columns: Vec<ColumnNow<'a>> = columns.into_iter().collect();
    // Where neither rating nor speed is known it is to be filled in: who does so has to know what can be said.
    let is_told = |reads: Reads| columns.iter().any(|column| column.reads == Some(reads.key()));
    if !is_told(Reads::RatedPower) && !is_told(Reads::RatedSpeed) {
        let keys: Vec<&str> = Reads::ALL.iter().map(|reads| reads.key()).collect();
        for some in keys.chunks(8) {
            let _ = writeln!(text, "# A column can hold: {}", some.join(", "));
        }
    }
    let mut seen: HashMap<(usize, String), usize> = HashMap::new();
    // The tables of a sheet often have the same headings: one line is for all of them.
    let mut places: HashMap<(String, usize), usize> = HashMap::new();
    let mut alike: Vec<(usize, Vec<ColumnNow<'a>>)> = Vec::new();
    for column in columns {
        let key = words::key(column.heading);
        let which = seen.entry((column.table, key.clone())).or_insert(0);
        *which += 1;
        // A column without a heading is worth a line where somebody says what it is.
        if key.is_empty() && !column.by_hand {
            continue;
        }
        let place = *places.entry((key, *which)).or_insert(alike.len());
        match alike.get_mut(place) {
            Some((_, known)) => known.push(column),
            None => alike.push((*which, vec![column])),
        }
    }
    for (which, alike) in alike {
        let by_hand = alike.iter().find(|column| column.by_hand);
        let Some(mut column) = by_hand.or(alike.first()).copied() else {
            continue;
        };
        let meaning = |column: &ColumnNow<'a>| (column.reads, column.and, column.pairs);
        let quoted = column.heading.replace('"', "\"\"");
        if by_hand.is_none() {
            // What is not the same in every table has a line for each of them.
            let other_unit = |other: &ColumnNow<'a>| other.settles_unit && other.unit != column.unit;
            if alike
                .iter()
                .any(|other| meaning(other) != meaning(&column) || other_unit(other))
            {
                for column in alike {
                    line(&mut text, &quoted, which, Some(column.table), &column);
                }
                continue;
            }
            if alike.iter().any(|other| other.unit != column.unit) {
                // Without a unit, the one written over each of them holds.
                column.unit = None;
                column.guessed = None;
            }
        }
        line(&mut text, &quoted, which, None, &column);
    }
    text
}

/// The line of a column, of one table or of all.
fn line(text: &mut String, heading: &str, which: usize, table: Option<usize>, column: &ColumnNow<'_>) {
    let _ = write!(text, "column \"{heading}\"");
    if which > 1 {
        let _ = write!(text, " {which}");
    }
    if let Some(table) = table {
        let _ = write!(text, " of table {table}");
    }
    let _ = write!(text, " = {}", column.reads.unwrap_or("nothing"));
    if let (Some(_), Some(and)) = (column.reads, column.and) {
        let _ = write!(text, " and {and}");
    }
    let unit = column
        .unit
        .filter(|unit| column.reads.is_some() && !cell::units_only(unit).is_empty());
    match unit {
        _ if column.pairs => text.push_str(" in pairs"),
        Some(unit) => {
            let _ = write!(text, " in {unit}");
        }
        None => {}
    }
    text.push('\n');
    if let (Some(guessed), Some(_)) = (column.guessed, column.reads) {
        let _ = writeln!(text, "#   the list does not say the unit over it; read in {guessed}");
    }
    if column.reads.is_none() || column.confidence < 0.8 {
        let _ = writeln!(text, "#   {}", column.reason.replace(['\n', '\r'], " "));
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used)]
    use super::*;

    const AT: TableAt<'_> = TableAt {
        sheet: "List",
        table: Some(1),
    };

    #[test]
    fn a_line_of_one_table_or_sheet_goes_before_others() {
        let own = Own::read(
            Some("polepair columns 1\ncolumn \"P\" = rated_power in kW\ncolumn \"P\" of table 2 = rated_power in hp\ncolumn \"P\" of sheet \"A = B\" = poles\ncolumn \"P\" 2 of table 3 of sheet \"list\" = nothing\n"),
            None,
        )
        .unwrap();
        let at = |sheet, table| TableAt {
            sheet,
            table: Some(table),
        };
        let said = |which, at| own.said("P", which, at).map(|said| (said.reads, said.unit));
        assert_eq!(
            said(1, at("List", 1)),
            Some((Some(Reads::RatedPower), Some(PlateUnit::Kilowatt)))
        );
        assert_eq!(
            said(1, at("List", 2)),
            Some((Some(Reads::RatedPower), Some(PlateUnit::Horsepower)))
        );
        assert_eq!(said(1, at("a = b", 1)), Some((Some(Reads::Poles), None)));
        assert_eq!(said(2, at("LIST", 3)), Some((None, None)));
        assert_eq!(said(2, at("List", 1)), None);
        for wrong in ["of", "of table", "of table 0", "2 3", "of sheet Motors", "table 2"] {
            let text = format!("polepair columns 1\ncolumn \"P\" {wrong} = poles\n");
            let faults = Own::read(Some(&text), None).unwrap_err();
            assert!(
                faults
                    .iter()
                    .any(|fault| fault.message.contains("not a count, a table or a sheet")),
                "{wrong}: {faults:?}"
            );
        }
    }

    #[test]
    fn what_is_said_is_found_again() {
        let own = Own::read(
            Some("polepair columns 1\n# a comment\ncolumn \"P \"\"alt\"\" [kW]\" = nothing\ncolumn \"Amps\" 2 = measured_current\ncolumn \"Polp.\" = poles in pairs\nword \"Umf.\" = drive\n"),
            Some("tag;de;Betriebsmittel\n# a comment\n"),
        )
        .unwrap();
        assert_eq!(own.said("P \"ALT\" (kW)", 1, AT).unwrap().reads, None);
        assert_eq!(own.said("amps", 2, AT).unwrap().reads, Some(Reads::MeasuredCurrent));
        assert!(own.said("amps", 1, AT).is_none());
        assert!(own.said("Polp.", 1, AT).unwrap().pairs);
        assert!(own.words.says("am Umf. 3", "drive"));
        assert!(!Own::usual().words.says("am Umf. 3", "drive"));
        let heading = own
            .words
            .headings()
            .longest_at(&words::words("Betriebsmittel"))
            .unwrap();
        assert_eq!(heading.says, "tag");
    }

    #[test]
    fn what_was_said_comes_back_from_remarks() {
        let map = "polepair columns 1\n# why\ncolumn \"Amps\" 2 = measured_current\ncolumn \"P \"\"alt\"\"\" of table 2 = nothing\nword \"Umf.\" = drive\n";
        let own = Own::read(Some(map), Some("tag;de;Betriebsmittel\n")).unwrap();
        let remarks = own.remarks();
        let again = Own::of_remarks(&format!("\n  # mine\n{remarks}")).unwrap();
        assert_eq!(again.columns(), own.columns());
        assert!(again.words.says("am Umf. 3", "drive"));
        let words = words::words("Betriebsmittel");
        assert_eq!(again.words.headings().longest_at(&words).unwrap().says, "tag");
        // What is said newly takes its place; other remarks stay.
        let other = Own::read(Some("polepair columns 1\ncolumn \"Amps\" = nothing\n"), None).unwrap();
        let before = with_remarks(&format!("  # mine\n{remarks}"), &other.remarks());
        assert_eq!(before, format!("  # mine\n{}", other.remarks()));
        assert_eq!(with_remarks(&before, ""), "  # mine\n");
        assert!(Own::of_remarks("  # mine\n").is_none());
        assert_eq!(Own::usual().remarks(), "");
    }

    #[test]
    fn every_wrong_line_is_told() {
        let faults = Own::read(
            Some("columns\ncolumn P = rated_power\ncolumn \"P\" = rated_powr\ncolumn \"P\" = rated_power in A\nrow 5\ncolumn \"P\" x = tag\n"),
            Some("tag;Betriebsmittel\nrated_powr;en;P\n"),
        )
        .unwrap_err();
        let told: Vec<(usize, &str)> = faults
            .iter()
            .map(|fault| (fault.line, fault.message.as_str()))
            .collect();
        assert_eq!(told.len(), 9, "{told:?}");
        let of = |line: usize, part: &str| told.iter().any(|(at, text)| *at == line && text.contains(part));
        assert!(of(1, HEAD) && of(2, "double quotes") && of(3, "rated_powr") && of(4, "cannot be in A"));
        assert!(
            of(5, "row") && of(6, "not a count") && of(1, "three fields") && of(2, "rated_powr"),
            "{told:?}"
        );
        assert!(faults.iter().any(|fault| fault.help.contains("rated_power")));
    }

    #[test]
    fn a_map_written_reads_back() {
        let column = |heading, reads, unit| ColumnNow {
            table: 1,
            heading,
            reads,
            and: None,
            unit,
            pairs: false,
            confidence: 0.95,
            reason: "",
            guessed: None,
            settles_unit: false,
            by_hand: false,
        };
        let text = written(
            "list.xlsx",
            [
                column("Amps", Some("rated_current"), Some("A")),
                column("Amps", Some("measured_current"), Some("A")),
                column("Old \"P\"", None, None),
                column("Speed", Some("rated_speed"), Some("r/s")),
            ],
        );
        let own = Own::read(Some(&text), None).unwrap();
        assert_eq!(own.said("Amps", 2, AT).unwrap().reads, Some(Reads::MeasuredCurrent));
        assert_eq!(own.said("Amps", 1, AT).unwrap().unit, Some(PlateUnit::Ampere));
        assert_eq!(own.said("Old \"P\"", 1, AT).unwrap().reads, None);
        // A unit that no plate has is left to the heading.
        assert_eq!(own.said("Speed", 1, AT).unwrap().unit, None);
    }
}
