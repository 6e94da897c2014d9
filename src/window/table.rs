//! What the columns of a table from elsewhere are in a worked sheet.
//!
//! Always: told by the words over them where there are some, else by what they hold.
//! Not known here: what stands in the sheet.

use super::spot::{Field, is_value};
use crate::fault::Fault;
use crate::language::syntax;
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
#[derive(Debug)]
pub(super) struct Columns {
    places: Vec<Option<Field>>,
    /// Its first line holds headings.
    pub headed: bool,
    /// They are known ones.
    pub named: bool,
    /// How many cases the sheet has, where headings name them: a value goes to its case and not to others.
    cases: Option<usize>,
}

/// A column that no table has: of a case that is not in it.
const NOWHERE: usize = usize::MAX;

/// The case of a sheet that a heading names.
fn case_of(heading: &str, names: &[impl AsRef<str>]) -> Option<usize> {
    let words = heading.trim().to_lowercase().replace(' ', "_");
    let mut names = names.iter().map(|name| name.as_ref().to_lowercase());
    names.position(|name| !name.is_empty() && name == words)
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

/// What tables write where a number has no unit.
pub(super) fn is_no_unit(text: &str) -> bool {
    matches!(text.trim(), "" | "-" | "–" | "—" | "−" | "1")
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

/// The words of a heading, and the unit in brackets, behind `in` or behind a comma.
pub(super) fn heading(text: &str) -> (String, Option<String>) {
    let text = text.trim();
    let in_brackets = text
        .strip_suffix([')', ']'])
        .and_then(|rest| rest.rsplit_once(['(', '[']));
    let behind = text.rsplit_once(" in ").or_else(|| text.rsplit_once(','));
    for (words, unit) in in_brackets.into_iter().chain(behind) {
        if Unit::known(unit.trim()).is_some() {
            return (words.trim().to_owned(), Some(unit.trim().to_owned()));
        }
    }
    (text.to_owned(), None)
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

/// What the words over the columns say, where two of them at least are known.
fn heads(table: &Table) -> Vec<Option<Field>> {
    let of = |text: &String| {
        let text = text.trim().to_lowercase();
        HEADS
            .iter()
            .find(|(_, words)| words.contains(&&*text))
            .map(|(field, _)| *field)
    };
    let heads: Vec<Option<Field>> = table.first().map_or(&[][..], Vec::as_slice).iter().map(of).collect();
    match heads.iter().flatten().count() {
        0 | 1 => Vec::new(),
        _ => heads,
    }
}

impl Columns {
    /// The same as the places of a sheet have it.
    pub(super) fn by_places(table: &Table, places: Vec<Option<Field>>) -> Columns {
        let mut columns = Columns {
            places,
            headed: false,
            named: false,
            cases: None,
        };
        columns.headed = columns.has_words_over_values(table);
        columns
    }

    /// Told by headings and by what the columns hold: labels or symbols beside values, or one sort of them alone. `cases`: how many
    /// columns of values there may be; `names`: what those of a sheet are called, as the headings of a table may say it.
    pub(super) fn told(table: &Table, cases: usize, names: &[impl AsRef<str>]) -> Option<Columns> {
        let width = table.iter().map(Vec::len).max().unwrap_or(0);
        let heads = heads(table);
        let body = table.get(usize::from(!heads.is_empty())..).unwrap_or(&[]);
        let head = |column: &usize| heads.get(*column).copied().flatten();
        let values = |column: &usize| {
            let all = said(table, *column).count();
            let holds = |text: &&str| is_value(text) || text.starts_with('=');
            let values = said(table, *column).filter(holds).count();
            values > 0 && 2 * values >= all && matches!(head(column), None | Some(Field::Value(_)))
        };
        let valued: Vec<usize> = (0..width).filter(values).collect();
        let is_worked = heads.contains(&Some(Field::Formula));
        let Some(first) = valued.first().copied().or(is_worked.then_some(width)) else {
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
        };
        for column in 0..width {
            if matches!(head(&column), Some(Field::Value(_))) {
                columns.set(column, None);
            }
        }
        let over = |column: usize| table.first().map_or("", |row| cell(row, column));
        if valued.iter().any(|column| case_of(over(*column), names).is_some()) {
            columns.cases = Some(names.len());
            for column in &valued {
                columns.set(*column, case_of(over(*column), names).map(Field::Value));
            }
        } else {
            for (case, column) in valued.iter().take(cases.max(1)).enumerate() {
                columns.set(*column, Some(Field::Value(case)));
            }
        }
        let texts = (0..first).filter(|column| head(column).is_none() && said(body, *column).next().is_some());
        let texts: Vec<usize> = texts.collect();
        columns.name(body, &texts);
        if columns.at(Field::Label).or(columns.at(Field::Symbol)).is_none() && valued.len() != width {
            return None;
        }
        for column in (first..width).filter(|column| !valued.contains(column) && head(column).is_none()) {
            let told = beside_values(table.get(1..).unwrap_or(&[]), column);
            columns.set(column, told.filter(|field| columns.at(*field).is_none()));
        }
        columns.headed = !heads.is_empty() || columns.cases.is_some() || columns.has_words_over_values(table);
        Some(columns)
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
            .any(|text| !text.is_empty() && !is_value(text) && !text.starts_with('='))
    }
}

/// What a column beside the values is. One unit that is not known does not make the others something else.
fn beside_values(body: &Table, column: usize) -> Option<Field> {
    let all = |fits: &dyn Fn(&str) -> bool| {
        let mut texts = said(body, column).peekable();
        texts.peek().is_some() && texts.all(fits)
    };
    let units = said(body, column).filter(|text| Unit::known(text).is_some()).count();
    let none = said(body, column).filter(|text| is_no_unit(text)).count();
    if units > 0 && 2 * (units + none) > said(body, column).count() {
        Some(Field::Unit)
    } else if all(&|text| Kind::find(text).is_some()) {
        Some(Field::Kind)
    } else if all(&|text| SourceWord::find(text.split_whitespace().next().unwrap_or("")).is_some()) {
        Some(Field::Source)
    } else {
        all(&is_formula).then_some(Field::Formula)
    }
}
