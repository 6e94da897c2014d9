//! A list read again: its report brought back, or what it says now put into the workbook that was made of it.
//!
//! Always: what was typed in the workbook since the list was read stays; putting a newer list in is one step that can be taken back.
//! Not known here: what is on the screen, and on which thread this runs.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::maps;
use crate::files;
use crate::handover::origin::Origin;
use crate::plates::changes::{Change, Stays};
use crate::plates::find::As;
use crate::plates::{self, Import, Options, Own, Report, list, merge};
use crate::recalc::{Engine, SheetResults};
use crate::session::{Command, Session};
use crate::workbook::text::quoted;
use crate::workbook::{Statement, Workbook, text};

/// The list a workbook was made of.
#[derive(Clone, Debug)]
pub struct ListRead {
    /// The file.
    pub path: PathBuf,
    /// How its columns were settled.
    pub own: Option<Arc<Own>>,
    /// What imports of this window made of it, the latest last: the digest of the file, and the text.
    pub as_read: Vec<(String, Arc<str>)>,
}

/// A newer list that is wanted in the workbook.
#[derive(Debug)]
pub struct Wanted {
    /// The list.
    pub path: PathBuf,
    /// How its columns are settled.
    pub own: Option<Arc<Own>>,
    /// A column map that settles them anew.
    pub map: Option<PathBuf>,
    /// Its sheet, where it has several.
    pub sheet: Option<String>,
    /// That sheet takes the place of the one that was read.
    pub instead: bool,
    /// What earlier imports made, the latest last.
    pub earlier: Vec<(String, Arc<str>)>,
    /// The file of the workbook.
    pub workbook: Option<PathBuf>,
    /// The folder from which the workbook sees its list.
    pub folder: PathBuf,
}

impl Wanted {
    /// It was read; `options`: how lists are read here.
    pub fn read(self, import: Import, options: Options) -> Newer {
        Newer {
            import,
            wanted: self,
            options,
        }
    }
}

/// A newer list on its way into the workbook.
pub struct Newer {
    import: Import,
    wanted: Wanted,
    options: Options,
}

impl std::fmt::Debug for Newer {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(out, "a newer list: {:?}", self.wanted.path)
    }
}

/// A report brought back: what was read, the list, and which heading each quantity was taken from.
#[derive(Debug)]
pub struct Back {
    /// What was read.
    pub report: Box<Report>,
    /// The list.
    pub list: ListRead,
    headings: Vec<(Arc<str>, String)>,
}

impl Back {
    /// The report beside the workbook: its loads as they are now, and a remark where the workbook took other columns.
    pub fn beside(mut self, session: &Session) -> (Box<Report>, ListRead) {
        let here = headings_of(session.workbook());
        let taken = |name: &str| {
            here.iter()
                .find(|(known, _)| **known == *name)
                .map(|(_, heading)| heading)
        };
        let others: Vec<String> = self
            .headings
            .iter()
            .filter_map(|(name, heading)| {
                let here = taken(name)?;
                (here != heading).then(|| format!("{name} from {here}, here from {heading}"))
            })
            .collect();
        if !others.is_empty() {
            self.report.remarks.push(format!(
                "The workbook was made with other columns than this reading takes: {}.",
                others.join("; ")
            ));
        }
        let mut sheets = session.results().sheets.iter();
        if let Some(sheet) = sheets.find(|sheet| *sheet.name == *list::NAME) {
            self.report.computed.take(sheet);
        }
        (self.report, self.list)
    }
}

/// The heading each quantity of a list was taken from.
fn headings_of(workbook: &Workbook) -> Vec<(Arc<str>, String)> {
    let lines = workbook.sheets.iter().flat_map(|sheet| &sheet.lines);
    lines
        .filter_map(|line| match &line.statement {
            Statement::Quantity(quantity) => Some((quantity.name.clone(), quantity.from.clone()?)),
            _ => None,
        })
        .collect()
}

/// What the rows and columns of a list were called before a newer one came in.
#[derive(Clone, Debug)]
pub struct Called {
    /// The list.
    pub list: Arc<str>,
    /// Its rows.
    pub rows: Arc<[Arc<str>]>,
    /// Its columns.
    pub columns: Vec<Arc<str>>,
}

impl Called {
    fn of(sheet: &SheetResults) -> Called {
        Called {
            list: sheet.name.clone(),
            rows: sheet.items.clone(),
            columns: sheet.quantities.iter().map(|quantity| quantity.name.clone()).collect(),
        }
    }

    /// Where a row stands now that others came or went: by its name, of several of that name by their order. For a row that went, the next
    /// one that is there still, else the one before it.
    pub fn row_now(&self, row: usize, now: &[Arc<str>]) -> Option<usize> {
        let stays = |row: usize| {
            let name = self.rows.get(row).filter(|name| !name.is_empty())?;
            let before = self.rows.get(..row)?.iter().filter(|other| *other == name).count();
            let mut there = now.iter().enumerate().filter(|(_, other)| *other == name);
            there.nth(before).map(|(at, _)| at)
        };
        let after = row..self.rows.len();
        after.chain((0..row).rev()).find_map(stays)
    }
}

/// A newer list that is in the workbook.
#[derive(Debug)]
pub struct Merged {
    /// What its lists were before.
    pub called: Vec<Called>,
    /// What was read, and what changed.
    pub report: Box<Report>,
    /// The list; its latest text is what the import made.
    pub list: ListRead,
    /// The column map it was read by, where one was named.
    pub map: Option<PathBuf>,
    /// The sheet that was read in the place of another one.
    pub instead: Option<String>,
    /// How many edits were done by then.
    pub edits: usize,
}

impl Merged {
    /// What is said of it.
    pub fn in_words(&self) -> String {
        let list = self.list.path.display();
        if let Some(sheet) = &self.instead {
            let motors = self.report.rows.iter().filter(|row| row.called == As::Motor).count();
            return format!(
                "Read the sheet {sheet} of {list}, {motors} motors, in the place of the one before; Take back brings that one again."
            );
        }
        let changes = in_words(&self.report.changes);
        match &self.map {
            Some(map) => {
                let by = maps::in_words(&maps::named(map), self.report.spoken_of);
                format!("Read {list} again. {by} {changes}")
            }
            None => format!("Read {list} again. {changes}"),
        }
    }
}

/// What a newer list changed, and what was typed since and stays, with the rows by name.
pub fn in_words(changes: &[Change]) -> String {
    let mut parts: Vec<String> = Vec::new();
    let mut tell = |words: &str, of: &dyn Fn(&Change) -> bool| {
        let mut names: Vec<String> = Vec::new();
        let all: Vec<&Change> = changes.iter().filter(|change| of(change)).collect();
        for change in &all {
            let name = match change.what.as_str() {
                "came" | "went" => change.motor.clone(),
                "column" => quoted(&change.title),
                _ => format!("{} of {}", change.title, change.motor),
            };
            if !names.contains(&name) {
                names.push(name);
            }
        }
        let more = match names.len().saturating_sub(NAMED) {
            0 => String::new(),
            more => format!(" and {more} more"),
        };
        names.truncate(NAMED);
        if !names.is_empty() {
            parts.push(format!("{words}: {}{more}", names.join(", ")));
        }
    };
    let is_value = |change: &Change| !matches!(change.what.as_str(), "came" | "went" | "column");
    let is_kept = |change: &Change| change.stays == Stays::Typed;
    tell("gone", &|change| change.what == "went");
    tell("new", &|change| change.what == "came");
    tell("columns taken out", &|change| change.what == "column");
    tell("changed", &|change| is_value(change) && !is_kept(change));
    tell("typed here and kept", &is_kept);
    match parts.as_slice() {
        [] => "It says what the workbook has already.".to_owned(),
        parts => {
            let words = parts.join("; ");
            let mut letters = words.chars();
            let first: String = letters.next().into_iter().flat_map(char::to_uppercase).collect();
            format!("{first}{}.", letters.as_str())
        }
    }
}

/// Rows named of each sort; the panel has all of them.
const NAMED: usize = 4;

/// Where the list of a workbook comes from; none where it was not made of one list.
pub fn origin_of(workbook: &Workbook) -> Option<Origin> {
    let mut origins = workbook.sheets.iter().filter_map(Origin::of);
    match (origins.next(), origins.next()) {
        (Some(only), None) => Some(only),
        _ => None,
    }
}

/// Reads the list of a workbook again for its report.
///
/// # Errors
/// Why there is none, as a sentence.
pub fn read_back(origin: &Origin, folder: &Path, options: &Options) -> Result<Back, String> {
    let path = origin.find(folder).map_err(|why| format!("{} {why}.", origin.file))?;
    let options = origin.options(options);
    let mut import = plates::import(&path, &options).map_err(|error| {
        let cause = &error.cause;
        format!("{}: {}; {}", cause.path.display(), cause.found, cause.help)
    })?;
    let list = ListRead {
        path,
        own: options.own,
        as_read: Vec::new(),
    };
    // Methods are compared as they were read; what was typed since is looked at beside it.
    let fresh = Engine::new(std::mem::take(&mut import.workbook));
    import.take(fresh.results());
    Ok(Back {
        headings: headings_of(fresh.workbook()),
        report: Box::new(import.report),
        list,
    })
}

/// Puts a newer list into the workbook that was made of an earlier one.
///
/// # Errors
/// Why nothing was changed, as a sentence.
pub fn put_in(session: &mut Session, newer: Newer) -> Result<Merged, String> {
    let Newer {
        import,
        wanted,
        options,
    } = newer;
    let Wanted {
        path,
        own,
        map,
        sheet,
        instead,
        mut earlier,
        workbook: file,
        folder,
    } = wanted;
    let mut report = import.report;
    let as_read = match files::seen_from(&path, &folder) {
        Some(seen) => merge::text_naming(&import.workbook, &seen),
        None => text::write(&import.workbook),
    };
    let known = session.workbook();
    let base = match instead {
        // Nothing that stands there is of the other sheet.
        true => Some(known.clone()),
        false => base_of(known, &earlier, file.as_deref(), &folder, &options),
    };
    let merged = merge::merged(known, base.as_ref(), &text::read(&as_read))
        .ok_or("This workbook was not made of one list; read the list into a workbook of its own.")?;
    drop(base);
    if !instead {
        report.changes = merged.changes;
    }
    let of_files = known.sheets.iter().zip(&session.results().sheets);
    let of_files = of_files.filter(|(sheet, _)| Origin::of(sheet).is_some());
    let called = of_files.map(|(_, results)| Called::of(results)).collect();
    let command = Command {
        label: "read the list again".into(),
        changes: merge::steps(known, merged.workbook),
    };
    let _ = session.apply(command).map_err(|fault| fault.message.to_string())?;
    report.take(session.results());
    earlier.push((report.digest.clone(), as_read.into()));
    Ok(Merged {
        called,
        map,
        instead: sheet.filter(|_| instead),
        edits: session.steps(),
        report: Box::new(report),
        list: ListRead {
            path,
            own,
            as_read: earlier,
        },
    })
}

/// What the import made of which the workbook was made: it tells what was typed since. It is known from this window, or stands
/// beside the workbook, or is made again while the list is the same still.
fn base_of(
    known: &Workbook,
    earlier: &[(String, Arc<str>)],
    file: Option<&Path>,
    folder: &Path,
    options: &Options,
) -> Option<Workbook> {
    let is_of_it = |base: &Workbook| merge::is_of_the_same_list(base, known);
    let here = earlier.iter().rev().map(|(_, made)| text::read(made)).find(is_of_it);
    let beside = || {
        let bytes = std::fs::read(files::as_read_beside(file?)).ok()?;
        Some(text::read_bytes(&bytes)).filter(is_of_it)
    };
    let again = || {
        let origin = origin_of(known)?;
        let import = plates::import(&origin.find(folder).ok()?, &origin.options(options)).ok()?;
        Some(import.workbook).filter(is_of_it)
    };
    here.or_else(beside).or_else(again)
}

/// Keeps what the import made beside the workbook that was saved.
///
/// # Errors
/// In words.
pub fn keep_as_read(session: &Session, list: &[(String, Arc<str>)], saved: &Path) -> Result<(), String> {
    let Some(digest) = origin_of(session.workbook()).and_then(|origin| origin.digest) else {
        return Ok(());
    };
    let found = list
        .iter()
        .rev()
        .find(|(known, _)| known.starts_with(digest.rsplit(':').next().unwrap_or("")));
    let Some((_, made)) = found else { return Ok(()) };
    let beside = files::as_read_beside(saved);
    if std::fs::read(&beside).is_ok_and(|there| there == made.as_bytes()) {
        return Ok(());
    }
    files::save(&beside, made.as_bytes()).map_err(|error| error.to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_a_newer_list_changed_and_what_stays_is_told_by_name() {
        let change = |motor: &str, what: &str, stays: Stays| Change {
            motor: motor.to_owned(),
            what: what.to_owned(),
            title: what.to_owned(),
            was: "1".to_owned(),
            is: "2".to_owned(),
            kept: String::new(),
            now: "3".to_owned(),
            stays,
        };
        let told = in_words(&[
            change("A-1", "rating", Stays::No),
            change("A-2", "speed", Stays::Typed),
            change("A-3", "came", Stays::No),
            change("A-1", "voltage", Stays::No),
            change("A-4", "went", Stays::No),
        ]);
        assert_eq!(
            told,
            "Gone: A-4; new: A-3; changed: rating of A-1, voltage of A-1; typed here and kept: speed of A-2."
        );
        let many: Vec<Change> = (0..6)
            .map(|number| change(&format!("B-{number}"), "n", Stays::No))
            .collect();
        assert_eq!(
            in_words(&many),
            "Changed: n of B-0, n of B-1, n of B-2, n of B-3 and 2 more."
        );
        assert_eq!(
            in_words(&[change("motors in this row", "column", Stays::No)]),
            "Columns taken out: \"column\"."
        );
        assert_eq!(in_words(&[]), "It says what the workbook has already.");
    }
}
