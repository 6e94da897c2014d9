//! What the columns of a table from elsewhere are in a worked sheet.
//!
//! Always: told by the words over them where there are some, else by what they hold.
//! Not known here: what stands in the sheet.

use std::borrow::Cow;

use super::spot::{Field, is_value};
use crate::fault::Fault;
use crate::language::syntax;
use crate::language::syntax::words::{haste, says_limit, says_nothing};
use crate::quantity::{Kind, Unit};
use crate::workbook::SourceWord;
use crate::workbook::text::may_be_name;

/// Lines of cells.
pub(super) type Table = [Vec<String>];

/// Words that stand over columns.
const HEADS: [(Field, &[&str]); 7] = [
    (
        Field::Label,
        &[
            "quantity",
            "parameter",
            "description",
            "designation",
            "label",
            "größe",
            "benennung",
            "bezeichnung",
        ],
    ),
    (Field::Symbol, &["symbol", "sign", "formelzeichen", "zeichen"]),
    (Field::Value(0), &["value", "values", "result", "wert", "ergebnis"]),
    (Field::Unit, &["unit", "units", "einheit"]),
    (Field::Kind, &["kind"]),
    (Field::Source, &["source", "quelle"]),
    (Field::Formula, &["formula", "equation", "formel", "gleichung"]),
];

/// What each column of a table is.
#[derive(Clone, Debug)]
pub(super) struct Columns {
    places: Vec<Option<Field>>,
    /// Its first line holds headings.
    pub headed: bool,
    /// They are known ones.
    pub named: bool,
    /// How many cases the sheet has, where headings name them: a value goes to its case and not to others.
    cases: Option<usize>,
    /// The columns that hold values, whether they are one of the sheet or not.
    pub valued: Vec<usize>,
    /// The case that a heading goes to whose name is only a part of it.
    pub by_words: Vec<(String, usize)>,
    /// The unit that a heading names for the values under it.
    units: Vec<(usize, String)>,
}

/// A column that no table has: of a case that is not in it.
const NOWHERE: usize = usize::MAX;

/// Words as names have them.
fn words_of(text: &str) -> Vec<String> {
    let words = text.split(|letter: char| !letter.is_alphanumeric());
    words.filter(|word| !word.is_empty()).map(str::to_lowercase).collect()
}

/// The cases of a sheet that headings name, each once: by their name, or where that is a part of the heading and of no other one, as `Dry
/// season` is of the case dry. Which of them are by a part is `true`.
fn cases_of(heads: &[String], names: &[impl AsRef<str>]) -> Vec<Option<(usize, bool)>> {
    let exact = |head: &String| names.iter().position(|name| name.as_ref() == head.trim());
    let exact: Vec<Option<usize>> = heads.iter().map(exact).collect();
    let names: Vec<Vec<String>> = names.iter().map(|name| words_of(name.as_ref())).collect();
    let heads: Vec<Vec<String>> = heads.iter().map(|head| words_of(head)).collect();
    let mut taken: Vec<usize> = Vec::new();
    // Two names that differ in no more than capitals are told by these alone.
    let whole = |head: &Vec<String>| {
        let mut found = (0..names.len()).filter(|case| names.get(*case) == Some(head));
        found.next().filter(|_| !head.is_empty() && found.next().is_none())
    };
    let mut out: Vec<Option<(usize, bool)>> = Vec::new();
    for (head, exact) in heads.iter().zip(exact) {
        let case = exact.filter(|_| !head.is_empty()).or_else(|| whole(head));
        let case = case.filter(|case| !taken.contains(case));
        taken.extend(case);
        out.push(case.map(|case| (case, false)));
    }
    let is_part = |name: &[String], head: &[String]| {
        !name.is_empty() && head.len() > name.len() && head.windows(name.len()).any(|words| words == name)
    };
    let part = |head: &Vec<String>| {
        let mut cases = (0..names.len()).filter(|case| names.get(*case).is_some_and(|name| is_part(name, head)));
        cases.next().filter(|_| cases.next().is_none())
    };
    for (at, head) in heads.iter().enumerate() {
        let alone = |case: &usize| {
            let others = heads.iter().enumerate().filter(|(other, _)| *other != at);
            !taken.contains(case) && others.into_iter().all(|(_, other)| part(other) != Some(*case))
        };
        if let Some(found) = out.get_mut(at).filter(|found| found.is_none()) {
            *found = part(head).filter(alone).map(|case| (case, true));
        }
    }
    out
}

pub(super) fn cell(row: &[String], column: usize) -> &str {
    row.get(column).map_or("", |text| text.trim())
}

/// Texts of a column that say something.
pub(super) fn said(table: &Table, column: usize) -> impl Iterator<Item = &str> + Clone {
    table
        .iter()
        .map(move |row| cell(row, column))
        .filter(|text| !text.is_empty())
}

/// The same without those that say that nothing is known.
pub(super) fn says(table: &Table, column: usize) -> impl Iterator<Item = &str> + Clone {
    said(table, column).filter(|text| !says_nothing(text))
}

/// What tables write where a number has no unit: a stroke, 1, and what is counted.
pub(super) fn is_no_unit(text: &str) -> bool {
    let text = text.trim().to_lowercase();
    let counts = [
        "pcs", "pcs.", "pc", "pce", "piece", "pieces", "ea", "each", "nos", "nos.", "no.", "stk", "stk.", "stück",
    ];
    matches!(&*text, "" | "-" | "–" | "—" | "−" | "1") || counts.contains(&&*text)
}

/// A formula as other programs write it, without the sign before it; `None` for every other text, a value with that sign too.
pub(super) fn sign_of_formula(text: &str) -> Option<&str> {
    let rest = text.trim().strip_prefix('=')?.trim();
    (!rest.is_empty() && !is_value(rest)).then_some(rest)
}

/// Whether a text works something out: more than a number or a name.
pub(super) fn is_formula(text: &str) -> bool {
    let (tree, faults) = syntax::parse(text);
    let works = !faults.iter().any(Fault::is_error) && !tree.parts().is_empty() && !is_value(text);
    works || sign_of_formula(text).is_some()
}

/// The unit that stands in a place for one, as it is written here: `N*m` of other programs is `N·m`, `KW` and `Volts` of lists kW and V.
/// `None` where it says none.
pub(super) fn unit_said(text: &str) -> Option<Cow<'_, str>> {
    let text = text.trim();
    if is_no_unit(text) {
        return None;
    }
    if Unit::known(text).is_some() {
        return Some(Cow::Borrowed(text));
    }
    let joined = Unit::joined(text);
    let unit = joined.or_else(|| Some(Unit::parse_plate(text).ok()?.text.to_string()));
    unit.map(Cow::Owned)
}

/// Whether a text may be meant for a unit although nobody knows it: one word with the letters and signs of units.
pub(super) fn may_be_unit(text: &str) -> bool {
    let letters = |letter: char| letter.is_alphanumeric() || "·⋅*/^-.°%()_²³".contains(letter);
    let begins = |letter: char| letter.is_alphabetic() || matches!(letter, '°' | '%');
    text.starts_with(begins) && text.chars().all(letters) && SourceWord::find(text).is_none()
}

/// The same of one that is near to a unit: `lbft`, `rpms`.
fn is_near_unit(text: &str) -> bool {
    may_be_unit(text) && Unit::parse(text).is_err_and(|fault| !fault.nearest.is_empty())
}

/// The words of a heading, and the unit in brackets, behind `in` or behind a comma.
pub(super) fn heading(text: &str) -> (String, Option<String>) {
    let text = text.trim();
    let in_brackets = text
        .strip_suffix([')', ']'])
        .and_then(|rest| rest.rsplit_once(['(', '[']));
    let behind = text.rsplit_once(" in ").or_else(|| text.rsplit_once(','));
    for (words, unit) in in_brackets.into_iter().chain(behind) {
        if let Some(unit) = unit_said(unit) {
            return (words.trim().to_owned(), Some(unit.into_owned()));
        }
    }
    (text.to_owned(), None)
}

/// Whether a text may stand over a column: no value, and nothing that says more or less than one.
pub(super) fn may_be_heading(text: &str) -> bool {
    let is_said = says_nothing(text) || haste(text).is_some() || says_limit(text).is_some();
    !text.is_empty() && !is_value_or_formula(text) && !is_said
}

/// Whether all of some texts may be names, each once.
fn are_names<'t>(texts: impl Iterator<Item = &'t str>) -> bool {
    let mut names: Vec<String> = texts.map(|text| heading(text).0).collect();
    let all = names.len();
    names.sort_unstable();
    names.dedup();
    names.len() == all && names.iter().all(|name| may_be_name(name))
}

/// Whether half of some texts at least may be names.
fn are_names_by_half<'t>(texts: impl Iterator<Item = &'t str> + Clone) -> bool {
    let names = texts.clone().filter(|text| may_be_name(&heading(text).0)).count();
    names > 0 && 2 * names >= texts.count()
}

/// What the words over the columns say, where two of them at least are known. `sure`: it is known already that they are headings.
fn heads(table: &Table, sure: bool) -> Vec<Option<Field>> {
    let of = |text: &String| {
        let text = heading(text).0.to_lowercase();
        HEADS
            .iter()
            .find(|(_, words)| words.contains(&&*text))
            .map(|(field, _)| *field)
    };
    let heads: Vec<Option<Field>> = table.first().map_or(&[][..], Vec::as_slice).iter().map(of).collect();
    match heads.iter().flatten().count() {
        0 => Vec::new(),
        1 if !sure => Vec::new(),
        _ => heads,
    }
}

/// The case that each column of a table is of, as its heading says; `None` where no heading over values names one, or none is a heading.
fn cases_over(table: &Table, names: &[impl AsRef<str>]) -> Option<Vec<Option<(usize, bool)>>> {
    let (first, body) = table.split_first()?;
    let words: Vec<String> = first.iter().map(|head| heading(head).0).collect();
    let has_values = |column: usize| says(body, column).any(is_value_or_formula);
    if first.iter().any(|head| is_value_or_formula(head)) {
        return None;
    }
    let mut cases = cases_of(&words, names);
    for (column, case) in cases.iter_mut().enumerate() {
        *case = case.filter(|_| has_values(column));
    }
    // A part of a heading says less than a name: it counts only where every heading over values names a case.
    let all = words.iter().enumerate().zip(&cases).all(|((column, word), case)| {
        let is_over = !word.is_empty() && says(body, column).all(is_value_or_formula) && has_values(column);
        case.is_some() || !is_over
    });
    if !all {
        for case in &mut cases {
            *case = case.filter(|(_, by_part)| !by_part);
        }
    }
    cases.iter().any(Option::is_some).then_some(cases)
}

fn is_value_or_formula(text: &str) -> bool {
    is_value(text) || text.trim().starts_with('=')
}

impl Columns {
    /// The same as the places of a sheet have it.
    pub(super) fn by_places(table: &Table, places: Vec<Option<Field>>) -> Columns {
        let mut columns = Columns {
            places,
            headed: false,
            named: false,
            cases: None,
            valued: Vec::new(),
            by_words: Vec::new(),
            units: Vec::new(),
        };
        columns.headed = columns.has_words_over_values(table);
        columns
    }

    /// Told by headings and by what the columns hold: labels or symbols beside values, or one sort of them alone. `cases`: how many
    /// columns of values there may be; `names`: what those of a sheet are called, as the headings of a table may say it.
    pub(super) fn told(table: &Table, cases: usize, names: &[impl AsRef<str>]) -> Option<Columns> {
        let width = table.iter().map(Vec::len).max().unwrap_or(0);
        let of_cases = cases_over(table, names);
        let heads = heads(table, of_cases.is_some());
        let is_headed = !heads.is_empty() || of_cases.is_some();
        let body = table.get(usize::from(is_headed)..).unwrap_or(&[]);
        let head = |column: &usize| heads.get(*column).copied().flatten();
        let case = |column: usize| of_cases.as_ref()?.get(column).copied().flatten();
        let values = |column: &usize| {
            let all = says(body, *column).count();
            let values = says(body, *column).filter(|text| is_value_or_formula(text)).count();
            // What says that nothing is known stands in the place of a value: a stroke by itself, words under such a heading.
            let of_none = || {
                let is_headed = head(column).is_some();
                all == 0 && said(body, *column).any(|text| is_headed || is_value(text))
            };
            let are_values = values > 0 && 2 * values >= all || of_none();
            let holds = are_values && matches!(head(column), None | Some(Field::Value(_)));
            holds || case(*column).is_some()
        };
        let valued: Vec<usize> = (0..width).filter(values).collect();
        let is_worked = heads.contains(&Some(Field::Formula));
        let first = valued
            .iter()
            .find(|column| of_cases.is_none() || case(**column).is_some());
        let Some(first) = first.copied().or(is_worked.then_some(width)) else {
            // A column of words alone.
            let field = match are_names(said(table, 0)) {
                true => Field::Symbol,
                false => Field::Label,
            };
            return (width == 1).then(|| Columns {
                places: vec![Some(field)],
                headed: false,
                named: false,
                cases: None,
                valued,
                by_words: Vec::new(),
                units: Vec::new(),
            });
        };
        let mut columns = Columns {
            places: heads
                .iter()
                .copied()
                .chain(std::iter::repeat(None))
                .take(width)
                .collect(),
            headed: false,
            named: !heads.is_empty(),
            cases: None,
            valued: Vec::new(),
            by_words: Vec::new(),
            units: Vec::new(),
        };
        for column in 0..width {
            if matches!(head(&column), Some(Field::Value(_))) {
                columns.set(column, None);
            }
        }
        if of_cases.is_some() {
            columns.cases = Some(names.len());
            for column in &valued {
                columns.set(*column, case(*column).map(|(case, _)| Field::Value(case)));
                let by_words = case(*column).filter(|(_, by_words)| *by_words);
                let head = table.first().map_or("", |heads| cell(heads, *column));
                columns
                    .by_words
                    .extend(by_words.map(|(case, _)| (head.to_owned(), case)));
            }
        } else {
            for (case, column) in valued.iter().take(cases.max(1)).enumerate() {
                columns.set(*column, Some(Field::Value(case)));
            }
        }
        if is_headed {
            columns.find_units_before(body, first, &valued);
        }
        let texts: Vec<usize> = (0..first)
            .filter(|column| !valued.contains(column) && columns.is_free(*column, body))
            .collect();
        columns.name(body, &texts);
        if !is_headed && !columns.has_names() && valued.len() != width {
            return None;
        }
        for column in (first..width).filter(|column| !valued.contains(column) && head(column).is_none()) {
            // The first of several lines may be one of headings.
            let under = table.get(usize::from(table.len() > 1)..).unwrap_or(&[]);
            let told = beside_values(under, column).or_else(|| beside_values(table, column));
            columns.set(column, told.filter(|field| columns.at(*field).is_none()));
        }
        if is_headed && !columns.has_names() {
            let behind = (first..width).filter(|column| !valued.contains(column) && columns.is_free(*column, body));
            let behind: Vec<usize> = behind.collect();
            columns.name(body, &behind);
        }
        columns.headed = is_headed || columns.has_words_over_values(table);
        if columns.headed {
            let over = |column: &usize| Some((*column, heading(cell(table.first()?, *column)).1?));
            columns.units = valued.iter().filter_map(over).collect();
        }
        columns.valued = valued;
        Some(columns)
    }

    /// Units in a column of their own before the values. What may be a symbol as well is one.
    fn find_units_before(&mut self, body: &Table, first: usize, valued: &[usize]) {
        let is_unit = |column: &usize| {
            !valued.contains(column)
                && self.is_free(*column, body)
                && beside_values(body, *column) == Some(Field::Unit)
                && said(body, *column).any(|text| !may_be_name(text))
        };
        if self.at(Field::Unit).is_none()
            && let Some(column) = (0..first).find(is_unit)
        {
            self.set(column, Some(Field::Unit));
        }
    }

    /// Whether something stands in a column that is nothing of a sheet yet.
    fn is_free(&self, column: usize, body: &Table) -> bool {
        self.places.get(column).is_some_and(Option::is_none) && said(body, column).next().is_some()
    }

    /// Whether a column says what the lines are called.
    pub(super) fn has_names(&self) -> bool {
        self.at(Field::Label).or(self.at(Field::Symbol)).is_some()
    }

    /// Whether headings name cases of the sheet.
    pub(super) fn by_case(&self) -> bool {
        self.cases.is_some()
    }

    /// Says which of the columns before the values are labels, symbols, formulas.
    fn name(&mut self, body: &Table, texts: &[usize]) {
        let named = |column: &usize| are_names(said(body, *column));
        let (label, symbol) = (self.at(Field::Label), self.at(Field::Symbol));
        let mut rest = texts.to_vec();
        // What works something out is no name: not the first column, whose words may have a hyphen.
        let works = |column: &usize| said(body, *column).all(is_formula) && !named(column);
        if self.at(Field::Formula).is_none()
            && let Some(at) = rest.iter().skip(1).position(works)
        {
            self.set(rest.remove(at + 1), Some(Field::Formula));
        }
        match (label, symbol, rest.as_slice()) {
            (_, _, []) | (Some(_), Some(_), _) => {}
            (None, Some(_), [first, ..]) => self.set(*first, Some(Field::Label)),
            (Some(_), None, texts) => {
                let symbol = texts.iter().rev().find(|column| named(column));
                if let Some(symbol) = symbol {
                    self.set(*symbol, Some(Field::Symbol));
                }
            }
            (None, None, [only]) if named(only) => self.set(*only, Some(Field::Symbol)),
            (None, None, [only]) => self.set(*only, Some(Field::Label)),
            (None, None, [label, rest @ ..]) => {
                // Of two that may be names the one beside the values is the symbol.
                let by_half = |column: &&usize| are_names_by_half(said(body, **column));
                let symbol = rest.iter().rev().find(|column| named(column));
                let symbol = symbol.or_else(|| rest.iter().rev().find(by_half).filter(|_| !named(label)));
                match symbol {
                    Some(symbol) => {
                        self.set(*symbol, Some(Field::Symbol));
                        self.set(*label, Some(Field::Label));
                    }
                    None if named(label) => {
                        self.set(*label, Some(Field::Symbol));
                        if let Some(title) = rest.first() {
                            self.set(*title, Some(Field::Label));
                        }
                    }
                    None => self.set(*label, Some(Field::Label)),
                }
            }
        }
    }

    fn set(&mut self, column: usize, field: Option<Field>) {
        if let Some(place) = self.places.get_mut(column) {
            *place = field;
        }
    }

    /// Which column that is.
    pub(super) fn at(&self, field: Field) -> Option<usize> {
        self.places.iter().position(|known| *known == Some(field))
    }

    /// The columns of values, in the order of the cases.
    pub(super) fn values(&self) -> impl Iterator<Item = usize> + '_ {
        let column = |case: usize| self.at(Field::Value(case));
        let all = self.cases.unwrap_or(self.places.len());
        (0..all).map_while(move |case| column(case).or(self.cases.map(|_| NOWHERE)))
    }

    /// The unit that the heading over a column names, or none.
    pub(super) fn unit_over(&self, column: usize) -> &str {
        let mut units = self.units.iter();
        units.find(|(of, _)| *of == column).map_or("", |(_, unit)| unit)
    }

    /// The columns that are nothing of a sheet.
    pub(super) fn others(&self) -> impl Iterator<Item = usize> + '_ {
        (0..self.places.len()).filter(|column| self.places.get(*column).copied().flatten().is_none())
    }

    /// Whether they are what stands at such places.
    pub(super) fn stand_at(&self, places: &[Option<Field>]) -> bool {
        let mut pairs = self.places.iter().zip(places);
        pairs.all(|(told, place)| told.is_none() || told == place)
    }

    fn has_words_over_values(&self, table: &Table) -> bool {
        let over = |column: usize| table.first().map_or("", |row| cell(row, column));
        self.values()
            .map(over)
            .any(|text| !text.is_empty() && !is_value(text) && !text.starts_with('=') && !says_nothing(text))
    }
}

/// What a column beside the values is. One unit that is not known does not make the others something else.
pub(super) fn beside_values(body: &Table, column: usize) -> Option<Field> {
    let all = |fits: &dyn Fn(&str) -> bool| {
        let mut texts = said(body, column).peekable();
        texts.peek().is_some() && texts.all(fits)
    };
    let units = said(body, column).filter(|text| unit_said(text).is_some()).count();
    let none = said(body, column).filter(|text| is_no_unit(text)).count();
    let all_said = said(body, column).count();
    let are_units = |units: usize| units > 0 && 2 * (units + none) > all_said;
    // Near ones are looked for only where it depends on them: that takes longer.
    let near = || {
        said(body, column)
            .filter(|text| unit_said(text).is_none() && is_near_unit(text))
            .count()
    };
    if are_units(units) || all_said > none && are_units(units + near()) {
        Some(Field::Unit)
    } else if all(&|text| Kind::find(text).is_some()) {
        Some(Field::Kind)
    } else if all(&|text| SourceWord::find(text.split_whitespace().next().unwrap_or("")).is_some()) {
        Some(Field::Source)
    } else {
        all(&is_formula).then_some(Field::Formula)
    }
}
