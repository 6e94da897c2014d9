//! What a workbook says, with handles in place of names: sheets, items, quantities, checks, definitions, curves.
//!
//! For: everything after it, which looks up names and items and never walks the lines again.
//! Always: handles are kept over edits: the same name in the same sheet has the same handle as long as the engine lives.
//! Not known here: sorts, formulas' meaning, values.

use std::collections::{HashMap, HashSet};
use std::sync::{Arc, OnceLock};

use crate::fault::{Code, Fault, Span};
use crate::language::check::{CurveBody, Curved, Defined, QuantityId, SheetId};
use crate::language::syntax::{Item, Name};
use crate::language::work::{Found, Outcome};
use crate::standards::tables;
use crate::workbook::{Cell, CurveText, Form, Formula, Line, Statement, Workbook};

/// Handles by name. Only grows.
#[derive(Debug, Default)]
pub(super) struct Handles {
    sheets: HashMap<Name, SheetId>,
    nodes: HashMap<(SheetId, Name), QuantityId>,
}

impl Handles {
    fn sheet(&mut self, name: &Name) -> SheetId {
        let next = SheetId(u32::try_from(self.sheets.len()).unwrap_or(u32::MAX));
        *self.sheets.entry(name.clone()).or_insert(next)
    }

    fn node(&mut self, sheet: SheetId, name: &Name) -> QuantityId {
        let next = QuantityId(u32::try_from(self.nodes.len()).unwrap_or(u32::MAX));
        *self.nodes.entry((sheet, name.clone())).or_insert(next)
    }

    /// How many handles of quantities there are.
    pub fn nodes(&self) -> usize {
        self.nodes.len()
    }
}

/// How items are spoken of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Wording {
    /// The only one: not at all.
    Single,
    /// `for winter`
    Case,
    /// `in row 12`
    Row,
}

/// Where the items of a key stand: the first, and the second where there are several.
type Places = (usize, Option<usize>);

/// The items of a sheet.
#[derive(Debug)]
pub(super) struct Items {
    pub names: Arc<[Arc<str>]>,
    pub wording: Wording,
    index: OnceLock<HashMap<Arc<str>, Places>>,
}

impl Items {
    pub fn new(names: Vec<Arc<str>>, wording: Wording) -> Items {
        Items {
            names: names.into(),
            wording,
            index: OnceLock::new(),
        }
    }

    pub fn count(&self) -> usize {
        self.names.len()
    }

    /// Gives one another name.
    pub fn rename(&mut self, item: usize, name: Arc<str>) {
        if let Some(held) = Arc::make_mut(&mut self.names).get_mut(item) {
            *held = name;
        }
        self.index = OnceLock::new();
    }

    pub fn find(&self, key: &str) -> Found {
        let index = self.index.get_or_init(|| {
            let mut index: HashMap<Arc<str>, (usize, Option<usize>)> = HashMap::with_capacity(self.names.len());
            for (item, name) in self.names.iter().enumerate() {
                match index.get_mut(name) {
                    Some(held) => held.1 = held.1.or(Some(item)),
                    None => {
                        index.insert(name.clone(), (item, None));
                    }
                }
            }
            index
        });
        match index.get(key) {
            None => Found::None,
            Some((item, None)) => Found::One(*item),
            Some((first, Some(second))) => Found::Several(*first, *second),
        }
    }

    /// ` in row 12`, ` for winter`, or nothing.
    pub fn place(&self, item: usize) -> String {
        match (self.wording, self.names.get(item)) {
            (Wording::Single, _) | (Wording::Case, None) => String::new(),
            (Wording::Case, Some(name)) => format!(" for {name}"),
            (Wording::Row, _) => format!(" in row {}", item + 1),
        }
    }
}

/// What a node is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Sense {
    /// given, work, seek
    Quantity,
    /// check
    Check,
    /// flag
    Flag,
}

/// A line with a column of outcomes: a quantity, a check or a flag.
#[derive(Clone, Debug)]
pub(super) struct Entry {
    pub id: QuantityId,
    pub name: Name,
    pub sense: Sense,
    /// Place of the sheet in the book.
    pub sheet: usize,
    /// Place of its line in the sheet.
    pub line: usize,
    /// Its column in the rows.
    pub column: Option<usize>,
    /// Items with a line of their own (`at`), and that line.
    pub at: Vec<(usize, usize)>,
    /// Values that come with the items: steps of `cases … from`.
    pub fixed: Option<Arc<[Outcome]>>,
    /// Keys of groups: the column of another list, and the row each is taken from.
    pub copied: Option<Copied>,
}

/// Cells taken over from another list.
#[derive(Clone, Debug)]
pub(super) struct Copied {
    pub list: Name,
    pub by: Name,
    pub rows: Vec<usize>,
}

/// A definition or curve and where it stands.
#[derive(Clone, Debug)]
pub(super) struct Made<T> {
    pub what: T,
    pub line: usize,
}

/// A sheet or list.
#[derive(Debug)]
pub(super) struct Sheet {
    pub id: SheetId,
    pub name: Name,
    pub form: Form,
    pub items: Items,
    pub entries: Vec<Entry>,
    pub names: HashMap<Name, QuantityId>,
    /// The quantity that names the rows of a list: its first text given.
    pub key: Option<Name>,
    pub definitions: HashMap<Name, Made<Defined>>,
    pub curves: HashMap<Name, Made<Curved>>,
    pub us: bool,
    pub single_phase: bool,
    /// Faults found while reading what the lines mean together: by line (`None`: the opening line).
    pub faults: Vec<(Option<usize>, Fault)>,
}

/// The whole workbook.
#[derive(Debug, Default)]
pub(super) struct Book {
    pub sheets: Vec<Sheet>,
    pub by_name: HashMap<Name, usize>,
    /// Place of a sheet by handle.
    pub places: Vec<Option<usize>>,
    /// Sheet and entry by handle.
    pub nodes: Vec<Option<(usize, usize)>>,
    pub definitions: HashMap<Name, Made<Defined>>,
    pub curves: HashMap<Name, Made<Curved>>,
    /// Faults in the head: by line.
    pub faults: Vec<(usize, Fault)>,
}

impl Book {
    pub fn sheet(&self, id: SheetId) -> Option<&Sheet> {
        self.sheets.get(self.place(id)?)
    }

    pub fn place(&self, id: SheetId) -> Option<usize> {
        self.places.get(id.0 as usize).copied().flatten()
    }

    pub fn entry(&self, id: QuantityId) -> Option<&Entry> {
        let (sheet, entry) = self.nodes.get(id.0 as usize).copied().flatten()?;
        self.sheets.get(sheet)?.entries.get(entry)
    }

    pub fn sheet_of(&self, id: QuantityId) -> Option<&Sheet> {
        let (sheet, _) = self.nodes.get(id.0 as usize).copied().flatten()?;
        self.sheets.get(sheet)
    }

    /// The item of `to` that stands for the same case.
    pub fn counterpart(&self, from: &Sheet, item: usize, to: &Sheet) -> Option<usize> {
        if from.id == to.id {
            return Some(item);
        }
        if to.items.count() == 1 {
            return Some(0);
        }
        match to.items.find(from.items.names.get(item)?) {
            Found::One(item) => Some(item),
            _ => None,
        }
    }

    /// All entries in the order of the text.
    pub fn entries(&self) -> impl Iterator<Item = &Entry> {
        self.sheets.iter().flat_map(|sheet| sheet.entries.iter())
    }
}

/// A definition as the checker wants it.
pub(super) fn defined(parameters: &[(Name, Option<crate::quantity::Kind>)], body: &Formula) -> Defined {
    Defined {
        parameters: parameters.to_vec(),
        text: body.text.clone(),
        body: body.tree.clone(),
    }
}

/// A curve as the checker wants it.
pub(super) fn curved(statement: &Statement) -> Option<Curved> {
    let Statement::Curve {
        parameter,
        kind,
        unit,
        body,
        ..
    } = statement
    else {
        return None;
    };
    Some(Curved {
        parameter: (parameter.clone(), *kind),
        unit: unit.clone(),
        body: match body {
            CurveText::Points(points) => CurveBody::Points(
                points
                    .iter()
                    .map(|(x, y)| (x.tree.as_ref().clone(), y.tree.as_ref().clone()))
                    .collect(),
            ),
            CurveText::Formula(formula) => CurveBody::Formula(formula.tree.clone(), formula.text.clone()),
        },
    })
}

/// Collects the definitions and curves of some lines.
fn calls(lines: &[Line], definitions: &mut HashMap<Name, Made<Defined>>, curves: &mut HashMap<Name, Made<Curved>>) {
    for (line, text) in lines.iter().enumerate() {
        match &text.statement {
            Statement::Define {
                name, parameters, body, ..
            } => {
                let what = defined(parameters, body);
                definitions.entry(name.clone()).or_insert(Made { what, line });
            }
            statement @ Statement::Curve { name, .. } => {
                if let Some(what) = curved(statement) {
                    curves.entry(name.clone()).or_insert(Made { what, line });
                }
            }
            _ => {}
        }
    }
}

/// The steps of `cases f from A to B by C`, worked by the caller who can check formulas.
pub(super) struct Steps {
    pub names: Vec<Arc<str>>,
    pub values: Vec<Outcome>,
    pub fault: Option<Fault>,
}

/// Reads a workbook into a book. `steps` works the `cases … from … to … by …` line of a sheet.
pub(super) fn read(workbook: &Workbook, handles: &mut Handles, steps: &dyn Fn(&Line) -> Steps) -> Book {
    let mut book = Book::default();
    calls(&workbook.head, &mut book.definitions, &mut book.curves);
    let us = workbook
        .head
        .iter()
        .any(|line| matches!(line.statement, Statement::Units(true)));
    let single = workbook
        .head
        .iter()
        .any(|line| matches!(line.statement, Statement::Supply(true)));
    for sheet in &workbook.sheets {
        let place = book.sheets.len();
        let id = handles.sheet(&sheet.name);
        let twice = book.by_name.contains_key(&sheet.name);
        let mut made = read_sheet(workbook, sheet, place, id, (us, single), steps);
        if tables::find(&sheet.name).is_some() {
            let fault = Fault::new(
                Code::TABLE_HIDDEN,
                Span::default(),
                format!(
                    "`{}` is also a published table, which cannot be reached beside it",
                    sheet.name
                ),
            )
            .help("give it another name where the table is meant");
            made.faults.push((None, fault));
        }
        if twice {
            // Reachable by nobody, but its own lines live on under handles of its own.
            let hidden: Name = Arc::from(format!("{} {place}", sheet.name));
            made.id = handles.sheet(&hidden);
        } else {
            book.by_name.insert(sheet.name.clone(), place);
        }
        book.sheets.push(made);
    }
    for (place, sheet) in book.sheets.iter_mut().enumerate() {
        let slot = sheet.id.0 as usize;
        if book.places.len() <= slot {
            book.places.resize(slot + 1, None);
        }
        if let Some(held) = book.places.get_mut(slot) {
            *held = Some(place);
        }
        for (index, entry) in sheet.entries.iter_mut().enumerate() {
            entry.id = handles.node(sheet.id, &entry.name);
            let slot = entry.id.0 as usize;
            if book.nodes.len() <= slot {
                book.nodes.resize(slot + 1, None);
            }
            if let Some(held) = book.nodes.get_mut(slot) {
                *held = Some((place, index));
            }
            if entry.sense == Sense::Quantity {
                sheet.names.entry(entry.name.clone()).or_insert(entry.id);
            }
        }
    }
    book
}

fn read_sheet(
    workbook: &Workbook,
    sheet: &crate::workbook::Sheet,
    place: usize,
    id: SheetId,
    (us, single): (bool, bool),
    steps: &dyn Fn(&Line) -> Steps,
) -> Sheet {
    let mut made = Sheet {
        id,
        name: sheet.name.clone(),
        form: sheet.form,
        items: Items::new(vec![Arc::from("")], Wording::Single),
        entries: Vec::new(),
        names: HashMap::new(),
        key: None,
        definitions: HashMap::new(),
        curves: HashMap::new(),
        us,
        single_phase: single,
        faults: Vec::new(),
    };
    calls(&sheet.lines, &mut made.definitions, &mut made.curves);
    let mut taken: HashMap<Name, usize> = HashMap::new();
    let entry = |name: Name, sense, line| Entry {
        id: QuantityId(0),
        name,
        sense,
        sheet: place,
        line,
        column: None,
        at: Vec::new(),
        fixed: None,
        copied: None,
    };
    let mut key: Option<Name> = None;
    for (line, text) in sheet.lines.iter().enumerate() {
        match &text.statement {
            Statement::Units(us) => made.us = *us,
            Statement::Supply(single) => made.single_phase = *single,
            Statement::Cases(names) if !names.is_empty() => made.items = Items::new(names.clone(), Wording::Case),
            Statement::CasesOver { name, .. } => {
                let worked = steps(text);
                let mut stepped = entry(unique(&mut taken, name.clone()), Sense::Quantity, line);
                made.faults.extend(worked.fault.map(|fault| (Some(line), fault)));
                if !worked.names.is_empty() {
                    made.items = Items::new(worked.names, Wording::Case);
                }
                stepped.fixed = Some(worked.values.into());
                made.entries.push(stepped);
            }
            Statement::Quantity(quantity) => {
                if key.is_none()
                    && quantity.role == crate::workbook::Role::Given
                    && matches!(quantity.kind, Some(crate::workbook::KindText::Text))
                {
                    key = Some(quantity.name.clone());
                }
                let name = unique(&mut taken, quantity.name.clone());
                made.entries.push(entry(name, Sense::Quantity, line));
            }
            Statement::Check { formula, .. } => {
                let name = unique(&mut taken, Arc::from(format!("check {}", formula.text)));
                made.entries.push(entry(name, Sense::Check, line));
            }
            Statement::Flag { formula, .. } => {
                let name = unique(&mut taken, Arc::from(format!("flag {}", formula.text)));
                made.entries.push(entry(name, Sense::Flag, line));
            }
            _ => {}
        }
    }
    let stepped = sheet
        .lines
        .iter()
        .any(|line| matches!(line.statement, Statement::CasesOver { .. }));
    for (line, text) in sheet.lines.iter().enumerate().filter(|_| stepped) {
        let Statement::Quantity(quantity) = &text.statement else {
            continue;
        };
        let (given, cases) = (quantity.values.len(), made.items.count());
        if given > 1 && given != cases {
            let fault = Fault::new(
                Code::CASE_COUNT,
                quantity.name_span,
                format!(
                    "`{}` has {given} values, but the sheet has {cases} cases",
                    quantity.name
                ),
            )
            .help("give one value for all cases, or one for each; an empty place is a blank");
            made.faults.push((Some(line), fault));
        }
    }
    let groups = match &sheet.opening.statement {
        Statement::Opening { groups } => groups.clone(),
        _ => None,
    };
    if let Some((list, by)) = groups {
        read_groups(
            workbook,
            &mut made,
            &list,
            &by,
            entry(by.clone(), Sense::Quantity, usize::MAX),
        );
    } else if let Some(rows) = &sheet.rows {
        let key_column = key
            .as_ref()
            .and_then(|key| rows.columns.iter().position(|column| column == key));
        let names = rows
            .rows
            .iter()
            .enumerate()
            .map(|(number, row)| name_of_row(number, key_column.and_then(|column| row.cells.get(column))))
            .collect();
        made.items = Items::new(names, Wording::Row);
        for entry in &mut made.entries {
            if entry.sense == Sense::Quantity {
                entry.column = rows.columns.iter().position(|column| *column == entry.name);
            }
        }
    } else if sheet.form == Form::List {
        made.items = Items::new(Vec::new(), Wording::Row);
    }
    made.key = key;
    read_at(sheet, &mut made);
    made
}

/// The name of a row, by its cell in the column of keys.
pub(super) fn name_of_row(row: usize, key: Option<&Cell>) -> Arc<str> {
    match key {
        Some(Cell::Text(text) | Cell::Word(text)) => text.clone(),
        _ => Arc::from(format!("{}", row + 1)),
    }
}

/// A name not taken before in this sheet; a second quantity of the same name is reached by nobody.
fn unique(taken: &mut HashMap<Name, usize>, name: Name) -> Name {
    let count = taken.entry(name.clone()).or_insert(0);
    *count += 1;
    if *count == 1 {
        name
    } else {
        Arc::from(format!("{name} {count}"))
    }
}

/// Own formulas of single items; a line that names no item or quantity of the sheet carries a fault already.
fn read_at(sheet: &crate::workbook::Sheet, made: &mut Sheet) {
    for (line, text) in sheet.lines.iter().enumerate() {
        let Statement::At { item, name, .. } = &text.statement else {
            continue;
        };
        let found = match item {
            Item::Same => None,
            Item::Row(number) => usize::try_from(*number)
                .ok()
                .and_then(|number| number.checked_sub(1))
                .filter(|item| *item < made.items.count()),
            Item::Key(key) => match made.items.find(key) {
                Found::One(item) => Some(item),
                _ => None,
            },
        };
        let entry = made
            .entries
            .iter_mut()
            .find(|entry| entry.sense == Sense::Quantity && entry.name == *name);
        if let (Some(found), Some(entry)) = (found, entry) {
            entry.at.push((found, line));
        }
    }
}

/// The place of a whole statement.
pub(super) fn whole(line: &Line) -> crate::fault::Span {
    crate::fault::Span::new(0, line.text.len())
}

/// `list panels = groups of motors by panel`: one row for each value, in the order they come first.
fn read_groups(workbook: &Workbook, made: &mut Sheet, list: &Name, by: &Name, mut entry: Entry) {
    let fault = |message: String| {
        (
            None,
            Fault::new(crate::fault::Code::GROUPS, crate::fault::Span::default(), message)
                .help("name a list and one of its given columns: list panels = groups of motors by panel"),
        )
    };
    made.items = Items::new(Vec::new(), Wording::Row);
    let rows = workbook
        .sheets
        .iter()
        .find(|sheet| sheet.name == *list)
        .and_then(|sheet| sheet.rows.as_ref());
    let Some(rows) = rows else {
        made.faults.push(fault(format!("there is no list {list} with rows")));
        return;
    };
    let Some(column) = rows.columns.iter().position(|column| column == by) else {
        made.faults
            .push(fault(format!("{by} is no column of the rows of {list}")));
        return;
    };
    let mut seen: HashSet<Arc<str>> = HashSet::new();
    let (mut names, mut taken) = (Vec::new(), Vec::new());
    for (number, row) in rows.rows.iter().enumerate() {
        let name: Arc<str> = match row.cells.get(column) {
            Some(Cell::Text(text) | Cell::Word(text)) => text.clone(),
            Some(Cell::Number(number, Some(unit))) => Arc::from(format!("{} {}", number.normalize(), unit.text)),
            Some(Cell::Number(number, None)) => Arc::from(number.normalize().to_string()),
            _ => continue,
        };
        if seen.insert(name.clone()) {
            names.push(name);
            taken.push(number);
        }
    }
    made.items = Items::new(names, Wording::Row);
    entry.copied = Some(Copied {
        list: list.clone(),
        by: by.clone(),
        rows: taken,
    });
    made.entries.insert(0, entry);
}
