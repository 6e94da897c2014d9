//! Looking without touching: what a text would be as the value of a quantity, who reads whom, a question asked of a sheet.
//!
//! For: checking while a user types, going from a result to what it reads and back, filters.
//! Always: the workbook and its results stay as they are.
//! Not known here: screens.

use std::collections::BTreeSet;
use std::ops::Range;
use std::sync::Arc;

use super::Engine;
use super::book::{Entry, Sense};
use super::lines;
use super::names::{Mention, mentions};
use super::reach::{Link, links};
use super::scope::Asking;
use super::seeking;
use super::settle::{quantity_of, target_for_cells, target_of};
use super::waves::View;
use rust_decimal::Decimal;

use crate::fault::{Code, Fault, Span};
use crate::language::check::{self, QuantityId, Sort, Target, Typed};
use crate::language::syntax::{self, Expr, Literal, Node};
use crate::language::work::{Outcome, Program};
use crate::quantity::Unit;
use crate::workbook::text::read_statement;
use crate::workbook::{Formula, Role, Statement, formulas_of};

/// Items looked at for a way back to themselves, where a formula serves all.
const FEW: usize = 8;

/// What a text would be.
#[derive(Clone, Debug)]
pub struct Look {
    /// What it gives.
    pub sort: Sort,
    /// What is wrong or worth a look; places are bytes of the text.
    pub faults: Vec<Fault>,
}

/// What a text would give.
#[derive(Clone, Debug)]
pub struct Would {
    /// What it gives.
    pub sort: Sort,
    /// For each item asked for.
    pub cells: Vec<Outcome>,
}

impl Engine {
    /// What `text` would be as the formula of a quantity: of the whole quantity, or of one cell of it. `None` for a sheet or a
    /// quantity that is not there. `unit` is the one that the place is shown in, where that is another one than it is written in:
    /// what is said of the text speaks of it.
    pub fn look(&self, sheet: &str, quantity: &str, text: &str, whole: bool, unit: Option<&Unit>) -> Option<Look> {
        let place = *self.book.by_name.get(sheet)?;
        let mut target = self.target_at(sheet, quantity, whole)?;
        if let Some(unit) = unit.filter(|_| target.unit.is_some() || target.kind.is_some()) {
            target.unit = Some(unit.clone());
        }
        let (typed, faults) = self.typed(place, text, &target);
        Some(Look {
            sort: typed.sort,
            faults,
        })
    }

    fn target_at(&self, sheet: &str, quantity: &str, whole: bool) -> Option<Target> {
        let entry = self.entry_named(sheet, quantity)?;
        Some(
            match (quantity_of(&self.workbook, entry), self.settlement.get(entry.id)) {
                (Some(line), Some(settled)) if !whole => target_for_cells(line, &settled.sort),
                (Some(line), _) => target_of(line),
                (None, _) => Target::default(),
            },
        )
    }

    /// What `text` would give as the formula of a quantity, of all of it or of one cell, for some items. `None` where it cannot be
    /// worked, and where it reads what is worked from the quantity: it would go in a circle.
    pub fn would(&self, sheet: &str, quantity: &str, text: &str, whole: bool, items: Range<usize>) -> Option<Would> {
        let target = self.target_at(sheet, quantity, whole)?;
        self.would_for(sheet, quantity, text, &target, items)
    }

    /// What a whole line of a quantity or a check would give, for some items; `None` where it has not one formula for all of them, or it
    /// cannot be worked.
    pub fn would_line(&self, sheet: &str, text: &str, items: Range<usize>) -> Option<Would> {
        let (line, _) = read_statement(text);
        let quantity = match &line.statement {
            Statement::Quantity(quantity) => quantity,
            Statement::Check { formula, .. } => {
                return self.would_for(sheet, "", &formula.text, &Target::default(), items);
            }
            _ => return None,
        };
        match quantity.values.as_slice() {
            [Some(formula)] if quantity.role != Role::Seek && !line.faults.iter().any(Fault::is_error) => {
                self.would_for(sheet, &quantity.name, &formula.text, &target_of(quantity), items)
            }
            _ => None,
        }
    }

    fn would_for(&self, sheet: &str, name: &str, text: &str, target: &Target, items: Range<usize>) -> Option<Would> {
        let place = *self.book.by_name.get(sheet)?;
        let own = self.book.sheets.get(place)?;
        let (typed, faults) = self.typed(place, text, target);
        let circles = own.names.get(name).is_some_and(|id| self.leads_to(&typed, *id));
        if circles || faults.iter().any(Fault::is_error) {
            return None;
        }
        let view = View {
            book: &self.book,
            done: &self.done,
        };
        let unit = match &typed.sort {
            Sort::Quantity { unit, .. } => unit.text.to_string(),
            _ => String::new(),
        };
        let program = Program::new(&typed, &view, own.id, &unit)?;
        let items = items.start..items.end.min(own.items.count());
        let cells = program.items(items).0;
        Some(Would {
            sort: typed.sort.clone(),
            cells,
        })
    }

    /// What is wrong with a text as the formula of a quantity because it leads back to it, for one of its items, or for any of the first
    /// few where none is named; `None` where it does not. What only goes from row to row leads nowhere back.
    pub fn circle(&self, sheet: &str, quantity: &str, text: &str, item: Option<usize>) -> Option<Fault> {
        let place = *self.book.by_name.get(sheet)?;
        let target = self.target_at(sheet, quantity, item.is_none())?;
        let (typed, _) = self.typed(place, text, &target);
        self.circle_of(place, quantity, &typed, item)
    }

    fn circle_of(&self, place: usize, quantity: &str, typed: &Typed, item: Option<usize>) -> Option<Fault> {
        let own = self.book.sheets.get(place)?;
        let id = *own.names.get(quantity)?;
        let items = item.map_or(0..own.items.count().clamp(1, FEW), |item| item..item + 1);
        let way = items
            .into_iter()
            .find_map(|item| self.way_back(place, typed, (id, item)))?;
        let first = *way.first()?;
        let names: Vec<&str> = std::iter::once(id)
            .chain(way)
            .filter_map(|id| Some(&*self.book.entry(id)?.name))
            .collect();
        let read = |index: usize| typed.reads.get(index).is_some_and(|read| read.quantity == first);
        let span = typed
            .places
            .iter()
            .find(|(_, index)| read(*index))
            .map(|(span, _)| *span);
        let words = format!("the names lead back to themselves: {}", names.join(" → "));
        let fault = Fault::new(Code::LOOP, span.unwrap_or_default(), words);
        Some(fault.help("write what it comes from, or look for an unknown with `such that …`"))
    }

    /// The way from what a formula reads of an item back to a quantity of that item.
    fn way_back(&self, place: usize, typed: &Typed, (wanted, item): (QuantityId, usize)) -> Option<Vec<QuantityId>> {
        let own = self.book.sheets.get(place)?;
        let read = links(&self.book, own, typed, &mut BTreeSet::new());
        let begin = read
            .into_iter()
            .filter(|(_, link)| *link == Link::Same)
            .map(|(id, _)| vec![id]);
        let mut open: Vec<Vec<QuantityId>> = begin.collect();
        let mut met: BTreeSet<QuantityId> = BTreeSet::new();
        while let Some(way) = open.pop() {
            let last = *way.last()?;
            if last == wanted {
                return Some(way);
            }
            if !met.insert(last) {
                continue;
            }
            for (next, link, only) in self.reach.reads(last) {
                if *link == Link::Same && only.is_none_or(|only| only == item) {
                    open.push(way.iter().copied().chain([*next]).collect());
                }
            }
        }
        None
    }

    /// Whether a formula reads a quantity, itself or through others.
    fn leads_to(&self, typed: &Typed, wanted: QuantityId) -> bool {
        let mut open: Vec<QuantityId> = typed.reads.iter().map(|read| read.quantity).collect();
        let mut met: BTreeSet<QuantityId> = BTreeSet::new();
        while let Some(read) = open.pop() {
            if read == wanted {
                return true;
            }
            if met.insert(read) {
                open.extend(self.reach.reads(read).iter().map(|(read, _, _)| *read));
            }
        }
        false
    }

    /// What a whole line would be: the sort of a quantity's first value, and what is wrong, with places in the line. `None`
    /// for a sheet that is not there.
    pub fn look_line(&self, sheet: &str, text: &str) -> Option<Look> {
        let place = *self.book.by_name.get(sheet)?;
        let (line, _) = read_statement(text);
        let mut look = Look {
            sort: Sort::Unknown,
            faults: line.faults,
        };
        let (formulas, target): (Vec<&Formula>, Target) = match &line.statement {
            Statement::Quantity(quantity) => (quantity.values.iter().flatten().collect(), target_of(quantity)),
            Statement::Check { formula, .. } | Statement::Flag { formula, .. } => (vec![formula], Target::default()),
            _ => {
                let asking = Asking::new(&self.book, &self.settlement.sorts, place);
                let whole = Span::new(0, text.len());
                look.faults.extend(lines::of_statement(&line.statement, whole, &asking));
                return Some(look);
            }
        };
        if let Statement::Quantity(quantity) = &line.statement
            && let Some(such_that) = &quantity.such_that
            && !look.faults.iter().any(Fault::is_error)
        {
            let asking = Asking::new(&self.book, &self.settlement.sorts, place);
            let typed = seeking::check(such_that, &quantity.name, &target, &asking);
            look.sort = typed.sort;
            look.faults.extend(typed.faults);
            return Some(look);
        }
        for formula in formulas.into_iter().filter(|formula| !formula.faulty) {
            let (typed, mut faults) = self.typed(place, &formula.text, &target);
            if let Statement::Quantity(quantity) = &line.statement
                && !faults.iter().any(Fault::is_error)
            {
                faults.extend(self.circle_of(place, &quantity.name, &typed, None));
            }
            if matches!(look.sort, Sort::Unknown) {
                look.sort = typed.sort;
            }
            look.faults
                .extend(faults.into_iter().map(|fault| fault.shifted(formula.at)));
        }
        Some(look)
    }

    fn typed(&self, place: usize, text: &str, target: &Target) -> (Typed, Vec<Fault>) {
        let (tree, mut faults) = syntax::parse(text);
        let asking = Asking::new(&self.book, &self.settlement.sorts, place);
        let typed = check::formula(&tree, text, target, &asking);
        if faults.iter().all(|fault| !fault.is_error()) {
            faults.extend(typed.faults.iter().cloned());
        } else if let Some(fault) = check::unknown_call(text, &asking) {
            // Who has typed as far as the bracket learns at once that nothing is called so.
            faults.insert(0, fault);
        }
        (typed, faults)
    }

    /// What a formula or condition gives for each item of a sheet.
    ///
    /// # Errors
    /// What is wrong with the text.
    pub fn ask(&self, sheet: &str, text: &str) -> Result<Vec<Outcome>, Vec<Fault>> {
        let Some(place) = self.book.by_name.get(sheet) else {
            return Err(Vec::new());
        };
        let Some(own) = self.book.sheets.get(*place) else {
            return Err(Vec::new());
        };
        let (typed, faults) = self.typed(*place, text, &Target::default());
        if faults.iter().any(Fault::is_error) {
            return Err(faults);
        }
        let view = View {
            book: &self.book,
            done: &self.done,
        };
        match Program::new(&typed, &view, own.id, "") {
            Some(program) => Ok(program.items(0..own.items.count()).0),
            None => Err(faults),
        }
    }

    /// Whether a text is a condition for the items of a sheet, and what is worth a look in it: a plain number beside a quantity in
    /// per cent means a hundred times as much as it seems to.
    ///
    /// # Errors
    /// What is wrong with the text.
    pub fn condition(&self, sheet: &str, text: &str) -> Result<Option<String>, Vec<Fault>> {
        let Some(place) = self.book.by_name.get(sheet) else {
            return Err(Vec::new());
        };
        let (typed, faults) = self.typed(*place, text, &Target::default());
        if faults.iter().any(Fault::is_error) {
            return Err(faults);
        }
        if !matches!(typed.sort, Sort::Truth) {
            let span = Span::new(0, text.len());
            let words = "this gives a value and not yes or no";
            let fault = Fault::new(Code::NOT_A_CONDITION, span, words);
            return Err(vec![
                fault.help("compare it with another value, such as `load > 100 %`"),
            ]);
        }
        let (tree, _) = syntax::parse(text);
        Ok(self.plain_beside_per_cent(*place, text, &tree))
    }

    fn plain_beside_per_cent(&self, place: usize, text: &str, tree: &Expr) -> Option<String> {
        let (first, rest) = match &tree.node {
            Node::Compare(first, rest) => (first, rest),
            Node::And(parts) | Node::Or(parts) => {
                let mut parts = parts.iter();
                return parts.find_map(|part| self.plain_beside_per_cent(place, text, part));
            }
            Node::Not(part) => return self.plain_beside_per_cent(place, text, part),
            _ => return None,
        };
        let words = |expr: &Expr| text.get(expr.span.start as usize..expr.span.end as usize);
        let per_cent = |expr: &Expr| {
            let (typed, _) = self.typed(place, words(expr)?, &Target::default());
            let is = matches!(&typed.sort, Sort::Quantity { unit, .. } if &*unit.text == "%");
            if is { words(expr) } else { None }
        };
        let compared: Vec<&Expr> = std::iter::once(&**first)
            .chain(rest.iter().map(|(_, expr)| expr))
            .collect();
        let pairs = compared.iter().zip(compared.iter().skip(1));
        pairs
            .flat_map(|(a, b)| [(*a, *b), (*b, *a)])
            .find_map(|(number, other)| {
                let Node::Number(Literal { value, unit: None }) = &number.node else {
                    return None;
                };
                let name = per_cent(other).filter(|_| !value.is_zero())?;
                let hundred = value.checked_mul(Decimal::ONE_HUNDRED)?.normalize();
                Some(format!(
                    "`{name}` is in %, and {value} means {hundred} %; write `{value} %`"
                ))
            })
    }

    /// The quantities that the formulas of a quantity read, each once: sheet and name.
    pub fn reads(&self, sheet: &str, quantity: &str) -> Vec<(Arc<str>, Arc<str>)> {
        self.entry_named(sheet, quantity)
            .map_or_else(Vec::new, |entry| self.reads_of(entry))
    }

    /// The same of a check by its place in a sheet.
    pub fn check_reads(&self, (sheet, place): (usize, usize)) -> Vec<(Arc<str>, Arc<str>)> {
        self.entry_at(sheet, Sense::Check, place)
            .map_or_else(Vec::new, |entry| self.reads_of(entry))
    }

    fn reads_of(&self, entry: &Entry) -> Vec<(Arc<str>, Arc<str>)> {
        let mut out = Vec::new();
        for (read, _, _) in self.reach.reads(entry.id) {
            if let (Some(from), Some(named)) = (self.book.sheet_of(*read), self.book.entry(*read)) {
                let pair = (from.name.clone(), named.name.clone());
                if !out.contains(&pair) {
                    out.push(pair);
                }
            }
        }
        out
    }

    /// What reads a quantity: quantities, checks and flags (`check FORMULA`, `flag FORMULA`) whose values rest on it, and curves,
    /// definitions and plots in whose text it stands (`curve T_M`, `plot TITLE`). Sheet and name.
    pub fn readers(&self, sheet: &str, quantity: &str) -> Vec<(Arc<str>, Arc<str>)> {
        let Some(wanted) = self.entry_named(sheet, quantity).map(|entry| entry.id) else {
            return Vec::new();
        };
        let mut out = Vec::new();
        for entry in self.book.entries() {
            if self.reach.reads(entry.id).iter().any(|(read, _, _)| *read == wanted)
                && let Some(from) = self.book.sheet_of(entry.id)
            {
                let pair = (from.name.clone(), entry.name.clone());
                if !out.contains(&pair) {
                    out.push(pair);
                }
            }
        }
        for from in &self.workbook.sheets {
            for line in &from.lines {
                if let Some(name) = shaped(&line.statement)
                    && mentions_quantity(&line.statement, &from.name, (sheet, quantity))
                {
                    out.push((from.name.as_ref().into(), name.into()));
                }
            }
        }
        out
    }

    pub(super) fn entry_named(&self, sheet: &str, quantity: &str) -> Option<&Entry> {
        let place = self.book.by_name.get(sheet)?;
        let id = self.book.sheets.get(*place)?.names.get(quantity)?;
        self.book.entry(*id)
    }
}

/// What a line that has no value of its own is called: `curve T_M`, `plot Torque over speed`.
fn shaped(statement: &Statement) -> Option<String> {
    match statement {
        Statement::Curve { name, .. } => Some(format!("curve {name}")),
        Statement::Define { name, .. } => Some(format!("define {name}")),
        Statement::Plot { title: Some(title), .. } => Some(format!("plot {title}")),
        Statement::Plot { curves, .. } => {
            let texts: Vec<&str> = curves.iter().map(|curve| &*curve.text).collect();
            Some(format!("plot {}", texts.join(", ")))
        }
        _ => None,
    }
}

/// Whether a quantity stands in the formulas of a line of the sheet `asks`; what the line binds itself is another one.
fn mentions_quantity(statement: &Statement, asks: &str, (sheet, quantity): (&str, &str)) -> bool {
    let bound = |name: &str| match statement {
        Statement::Curve { parameter, .. } => **parameter == *name,
        Statement::Define { parameters, .. } => parameters.iter().any(|(parameter, _)| **parameter == *name),
        Statement::Plot { variable, .. } => **variable == *name,
        _ => false,
    };
    formulas_of(statement)
        .into_iter()
        .flat_map(|formula| mentions(&formula.tree))
        .any(|mention| match mention {
            Mention::Plain(name, list) => {
                let owner = list.as_deref().unwrap_or(asks);
                *owner == *sheet && *name == *quantity && !bound(&name)
            }
            Mention::Far(of, name, _) => *of == *sheet && *name == *quantity,
            Mention::Call(_) | Mention::HandedOn(_) => false,
        })
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::indexing_slicing)]
mod tests {
    use super::*;
    use crate::workbook::text;

    const TEXT: &str = "polepair 1
sheet drive
  given f = 50 Hz : frequency
  given p = 4 pole : poles
  work  n_s = f / p in r/min : synchronous speed
  check n_s >= 1400 r/min
";

    #[test]
    fn a_look_changes_nothing_and_says_what_is_wrong() {
        let engine = Engine::new(text::read(TEXT));
        let look = engine.look("drive", "f", "50 kW", false, None).unwrap();
        assert!(look.faults.iter().any(Fault::is_error), "{look:?}");
        assert!(
            engine
                .look("drive", "f", "60 Hz", false, None)
                .unwrap()
                .faults
                .is_empty()
        );
        assert!(engine.look("drive", "g", "60 Hz", false, None).is_none());
        assert!(engine.results().faults.is_empty());
    }

    #[test]
    fn a_look_at_a_line_has_its_faults_at_their_places() {
        let engine = Engine::new(text::read(TEXT));
        let line = "work n_s = f / q in r/min : synchronous speed";
        let look = engine.look_line("drive", line).unwrap();
        let span = look.faults[0].span;
        assert_eq!(line.get(span.start as usize..span.end as usize), Some("q"), "{look:?}");
        let check = "check n_s >= 5 kW";
        assert!(
            engine
                .look_line("drive", check)
                .unwrap()
                .faults
                .iter()
                .any(Fault::is_error)
        );
        let look = engine
            .look_line("drive", "work n_s = f / p in r/min : synchronous speed")
            .unwrap();
        assert!(
            look.faults.is_empty() && !matches!(look.sort, Sort::Unknown),
            "{look:?}"
        );
        assert!(
            !engine
                .look_line("drive", "given f = 50 Hz \"open")
                .unwrap()
                .faults
                .is_empty()
        );
    }

    #[test]
    fn a_plain_number_beside_per_cent_is_worth_a_look() {
        let engine = Engine::new(text::read("polepair 1\nsheet a\n  given load = 90 %\n  given n = 2\n"));
        let doubts = |text| engine.condition("a", text).unwrap();
        assert!(doubts("load > 90").unwrap().contains("9000 %"));
        assert!(doubts("n > 1 and 50 < load").is_some());
        for fine in ["load > 90 %", "n > 90", "load > 0", "load > n"] {
            assert_eq!(doubts(fine), None, "{fine}");
        }
        assert!(engine.condition("a", "lod > 90 %").is_err() && engine.condition("a", "load").is_err());
    }

    /// 60 Hz over four poles (2 cycles a turn) are 30 turns a second, 1800 r/min.
    #[test]
    fn what_a_text_would_give_is_worked_and_nothing_changed() {
        let engine = Engine::new(text::read(TEXT));
        let gives = |quantity: &str, text: &str| {
            let would = engine.would("drive", quantity, text, true, 0..1)?;
            would.cells[0].as_number().map(|number| number.to_f64())
        };
        assert_eq!(gives("n_s", "60 Hz / p"), Some(1800.0));
        assert_eq!(gives("f", "60 Hz"), Some(60.0));
        // Round in a circle, of another sort, half typed.
        assert_eq!(gives("f", "n_s * p"), None);
        assert_eq!(gives("n_s", "n_s"), None);
        assert_eq!(gives("n_s", "f"), None);
        assert_eq!(gives("n_s", "f /"), None);
        let line = engine
            .would_line("drive", "work n_2 = 2 * f / p in r/min", 0..1)
            .unwrap();
        assert_eq!(line.cells[0].as_number().map(|number| number.to_f64()), Some(3000.0));
        let holds = engine.would_line("drive", "check f > 1 Hz", 0..1).unwrap();
        assert_eq!(holds.cells, [Outcome::Value(crate::language::work::Value::Truth(true))]);
        assert!(engine.would_line("drive", "note \"x\"", 0..1).is_none());
        assert_eq!(engine.results().sheets[0].quantities.len(), 3);
    }

    #[test]
    fn who_reads_whom_both_ways() {
        let engine = Engine::new(text::read(TEXT));
        let names =
            |pairs: Vec<(Arc<str>, Arc<str>)>| pairs.iter().map(|(_, name)| name.to_string()).collect::<Vec<_>>();
        assert_eq!(names(engine.reads("drive", "n_s")), ["f", "p"]);
        assert_eq!(names(engine.readers("drive", "f")), ["n_s"]);
        assert_eq!(names(engine.readers("drive", "n_s")), ["check n_s >= 1400 r/min"]);
    }

    #[test]
    fn curves_definitions_and_plots_read_too() {
        let engine = Engine::new(text::read(
            "polepair 1
sheet drive
  given n_s = 1500 r/min : synchronous speed
  given T_r = 40 N·m : torque
  given n = 3 r/min : shaft speed
  curve T_L(n : shaft speed) in N·m = T_r * (n / n_s)^2
  define double(T_r : torque) = 2 * T_r
  plot T_L for n from 0 r/min to n_s \"Load\"
  plot T_L, T_r * n / n_s for n from 0 r/min to 1400 r/min
sheet other
  define share(T : torque) = T / drive.T_r
",
        ));
        let names = |name| {
            let pairs = engine.readers("drive", name);
            pairs
                .iter()
                .map(|(sheet, name)| format!("{sheet}: {name}"))
                .collect::<Vec<_>>()
        };
        assert_eq!(
            names("n_s"),
            ["drive: curve T_L", "drive: plot Load", "drive: plot T_L, T_r * n / n_s"]
        );
        assert_eq!(
            names("T_r"),
            [
                "drive: curve T_L",
                "drive: plot T_L, T_r * n / n_s",
                "other: define share"
            ]
        );
        // The variable of a curve or plot is no quantity.
        assert_eq!(names("n"), [""; 0]);
    }

    #[test]
    fn a_question_is_answered_for_each_item() {
        let engine = Engine::new(text::read(TEXT));
        let answer = engine.ask("drive", "n_s > 1400 r/min").unwrap();
        assert_eq!(answer[0].as_truth(), Some(true));
        assert!(engine.ask("drive", "n_s > 5 kW").is_err());
    }
}
