//! Names: quantities here and elsewhere, bound names, constants, and what to say where a name is not known.
//!
//! For: everything that reads a cell.
//! Always: each cell a formula reads is listed once; its places in the text are kept for the trace.
//! Not known here: values.

use super::term::{Count, Marks, ONE, Term};
use super::typed::{Op, Read, SheetId, Sort, Which};
use super::units;
use super::walk::{Checker, Part, pi};
use crate::fault::{Code, Fault, Span};
use crate::language::functions;
use crate::language::syntax::words;
use crate::language::syntax::{Expr, Item, Name, Node, ProductSign, Signed, quoted};
use crate::quantity::nearest::nearest;
use crate::quantity::{Base, Family, Kind, Number, Unit};
use crate::standards::tables;

/// A name without what it is often written with or without.
fn plain(name: &str) -> String {
    name.replace('_', "").to_lowercase()
}

/// Whether a name looks like a place in a table of another program: letters of its column, number of its line.
fn is_place_of_table(name: &str) -> bool {
    let letters = name.trim_end_matches(|letter: char| letter.is_ascii_digit());
    let is_column = (1..=2).contains(&letters.len()) && letters.bytes().all(|letter| letter.is_ascii_uppercase());
    is_column && letters.len() < name.len()
}

impl Checker<'_> {
    /// Index of a read, each once.
    pub(super) fn read(&mut self, read: Read, span: Span) -> usize {
        let index = match self.reads.iter().position(|known| *known == read) {
            Some(index) => index,
            None => {
                self.reads.push(read);
                self.reads.len() - 1
            }
        };
        // Inside an aggregate a name has another value in every row, unless it is that of the asking item.
        let one_value = |read: &Read| matches!(read.which, Which::Here | Which::Key(_) | Which::Row(_));
        if self.inside.is_none() && (self.rows.is_none() || self.reads.get(index).is_some_and(one_value)) {
            self.places.push((span.shifted(self.base), index));
        }
        index
    }

    /// A part that reads a cell of this sort.
    pub(super) fn reading(&mut self, sort: &Sort, read: Read, span: Span) -> Part {
        let op = Op::Read(self.read(read, span));
        let mut part = of_sort(sort, op, span);
        if let Part::Term(term) = &mut part
            && term.dimension.is_none()
            && term.kind.is_none()
            && self.is_called_power_factor(span)
        {
            term.marks = term.marks.with(Marks::POWER_FACTOR);
        }
        part
    }

    /// Whether the quantity that is read here, of this sheet or another, has the usual letter of a power factor.
    fn is_called_power_factor(&self, span: Span) -> bool {
        let name = self.said(span).rsplit('.').next().unwrap_or("");
        Kind::of_letter(name).is_some_and(|kind| kind.family() == Family::PowerFactor)
    }

    pub(super) fn bound(&self, name: &str) -> Option<&Part> {
        self.bound
            .iter()
            .skip(self.hidden)
            .rev()
            .find(|bound| &*bound.name == name)
            .map(|bound| &bound.part)
    }

    /// Whether the name stands for something.
    pub(super) fn is_known(&self, name: &str) -> bool {
        self.bound(name).is_some()
            || self.scope.quantity(name).is_some()
            || self
                .rows
                .is_some_and(|rows| self.scope.quantity_of(rows.sheet, name).is_some())
            || functions::constant(name).is_some()
    }

    /// A name alone.
    pub(super) fn name(&mut self, name: &Name, span: Span) -> Part {
        if let Some(part) = self.bound(name) {
            let mut part = part.clone();
            if let Part::Term(term) = &mut part {
                term.span = span;
            }
            return part;
        }
        if let Some(rows) = self.rows {
            let of_list = self.scope.quantity_of(rows.sheet, name);
            let own = match self.closed {
                true => None,
                false => self.scope.quantity(name),
            };
            return match (of_list, own) {
                (Some(of_list), Some(own)) if of_list.id != own.id => {
                    self.fault(
                        Fault::new(
                            Code::AMBIGUOUS_NAME,
                            span,
                            format!("`{name}` is a quantity of the list and of this sheet"),
                        )
                        .help(format!(
                            "write `{}.{name}` for the list's, `here.{name}` for the one of this sheet",
                            self.list_name(rows.sheet)
                        ))
                        .fix(
                            format!("take the one of this sheet: here.{name}"),
                            span,
                            format!("here.{name}"),
                        ),
                    );
                    Part::Unknown
                }
                (Some(of_list), _) => {
                    let read = Read {
                        quantity: of_list.id,
                        which: Which::Own,
                    };
                    self.reading(&of_list.sort, read, span)
                }
                (None, Some(own)) => {
                    let read = Read {
                        quantity: own.id,
                        which: Which::Here,
                    };
                    self.reading(&own.sort, read, span)
                }
                (None, None) => self.constant_or_unknown(name, span),
            };
        }
        match self.scope.quantity(name) {
            Some(named) => {
                let read = Read {
                    quantity: named.id,
                    which: Which::Own,
                };
                self.reading(&named.sort, read, span)
            }
            None => self.constant_or_unknown(name, span),
        }
    }

    fn constant_or_unknown(&mut self, name: &Name, span: Span) -> Part {
        match functions::constant(name) {
            Some(constant) if constant.name == "j" => Part::Term(super::phasors::imaginary(span)),
            Some(constant) if constant.unit.is_empty() => Part::Term(pi(span)),
            Some(constant) => {
                let mut term = Term::plain(Op::Number(Number::Exact(constant.value())), span);
                if let Ok(unit) = Unit::parse(constant.unit) {
                    units::dress(&mut term, &unit, None);
                    term.unit = Some(unit);
                }
                Part::Term(term)
            }
            None => {
                self.unknown(name, span);
                Part::Unknown
            }
        }
    }

    /// A name that is not known, anywhere.
    pub(super) fn unknown(&mut self, name: &str, span: Span) {
        let mut fault = Fault::new(Code::UNKNOWN_NAME, span, format!("`{name}` is not known here"));
        let mut known = self.scope.names();
        known.extend(self.bound.iter().skip(self.hidden).map(|bound| bound.name.clone()));
        if let Some(rows) = self.rows {
            known.extend(self.scope.names_of(rows.sheet));
        }
        let constants = functions::constants().iter().map(|constant| constant.name);
        // `IE3`, `IP55`, `S1` alone: what plates stamp is a text.
        let stamped = self.inside.is_none() && self.text.trim() == name && words::is_class(name);
        let mut near = nearest(name, known.iter().map(|name| &**name).chain(constants), 3);
        if let Some(tries) = self.tries.filter(|_| self.inside.is_none() && self.base == 0) {
            near.retain(|near| super::stands(near, span, self.text, (tries, self.scope)));
        }
        let of_table = near.iter().all(|near| plain(near) != plain(name)) && is_place_of_table(name);
        if of_table {
            near.clear();
        }
        // What is divided or hangs on a number is no name written wrongly; a product may be.
        let joined = self.joined_unit(name, span);
        let sure = joined
            .as_ref()
            .is_some_and(|(place, _)| !place.of(self.text()).contains(['*', '·', '×']));
        if sure {
            near.clear();
        }
        let elsewhere: Vec<String> = self
            .scope
            .sheets()
            .into_iter()
            .filter(|sheet| {
                self.scope
                    .sheet(sheet)
                    .is_some_and(|id| self.scope.quantity_of(id, name).is_some())
            })
            .map(|sheet| format!("`{sheet}.{name}`"))
            .collect();
        let angle = ["cosφ", "cosϕ", "cosphi", "cos_phi", "cos_φ", "Cosφ", "COSφ"].contains(&name);
        let named = self.named_again(span);
        fault = if let Some(place) = named {
            fault.message =
                format!("`{name}` is not known here; the name of what is worked stands before the value").into();
            fault
                .help(format!("leave it out here: a line of its own is `work {name} = …`"))
                .fix("leave the name out", place, "")
        } else if of_table && elsewhere.is_empty() {
            fault.help(
                "where it is a place in a table of another program, write the name of the quantity that stands there",
            )
        } else if angle && near.is_empty() {
            fault.help("the power factor is a quantity like any other: `given pf = 0.85 : power factor`, and `pf` in the formula")
        } else if falls(name) && near.iter().all(|near| near.len() > 1) {
            fault
                .help("the acceleration of free fall is `g_n`, 9.80665 m/s²")
                .fix("write g_n", span, "g_n")
        } else if stamped && (near.is_empty() || name.starts_with('I')) {
            let write = quoted(name);
            fault.help(format!(
                "a text stands in quotes: {write}, in a line that says so, `given class = {write} : text`"
            ))
        } else if self.wants_text == Some(span) && near.is_empty() {
            let write = quoted(name);
            fault
                .help(format!("a text stands in quotes: {write}"))
                .fix("put it in quotes", span, write)
        } else if self.scope.curve(name).is_some() || self.scope.definition(name).is_some() {
            fault.message =
                format!("`{name}` is a curve or definition, no value; it says nothing until it is asked").into();
            fault.help(format!("say where it is asked: `{name}(…)`"))
        } else if !elsewhere.is_empty() {
            fault.help(format!("another sheet has it: write {}", elsewhere.join(" or ")))
        } else if let Some(instead) = words::instead(name).filter(|_| !sure) {
            fault.help(format!("write {instead}"))
        } else if !near.is_empty() {
            let list = near.iter().map(|near| format!("`{near}`")).collect::<Vec<_>>();
            let fault = fault.help(format!("did you mean {}?", list.join(" or ")));
            fault.offering(span, near)
        } else if let Some(columns) = self.columns_of_table() {
            fault.help(format!("the columns of this table are {columns}"))
        } else if functions::find(name).is_some() {
            fault.help(format!("`{name}` is a function; call it with brackets: `{name}(…)`"))
        } else if let Some((place, write)) = joined {
            fault.message = format!("`{name}` is a unit, and joined to its number by a sign").into();
            let list = write.iter().map(|write| format!("`{write}`")).collect::<Vec<_>>();
            let fault = fault.help(format!("a unit stands behind its number: write {}", list.join(" or ")));
            write
                .into_iter()
                .fold(fault, |fault, write| fault.fix(format!("write {write}"), place, write))
        } else if Unit::known(name).is_some() {
            fault.help(format!(
                "`{name}` is a unit, which stands right after a number, `5 {name}`, or after `in`; a quantity of that name gets a line of its own: `given {name} = …`"
            ))
        } else if !self.scope.in_list() {
            fault.help(format!("give it a line of its own above: `given {name} = …`"))
        } else if span.of(self.text()).len() == self.text().trim().len() {
            fault.help(
                "a place of a list takes a value, such as `15 kW`, a text in quotes, or a formula with the names of other columns",
            )
        } else {
            fault.help(format!("give it a column of its own: `given {name}`"))
        };
        self.fault(fault);
    }

    /// The columns of the published table whose rows are gathered.
    fn columns_of_table(&self) -> Option<String> {
        let sheet = self.rows?.sheet;
        sheet.table()?;
        let names = self.scope.names_of(sheet);
        Some(names.iter().map(|name| &**name).collect::<Vec<_>>().join(", "))
    }

    /// The same for a factor of a product: `5 m / s`.
    pub(super) fn unknown_factor(&mut self, name: &Name, span: Span, siblings: &[Signed<ProductSign>]) {
        let at = siblings.iter().position(|(_, part)| part.span == span);
        let before = at.and_then(|at| at.checked_sub(1)).and_then(|at| siblings.get(at));
        if let (Some(at), Some((_, before))) = (at, before)
            && let Node::Number(literal) = &before.node
            && let Some(unit) = &literal.unit
            && Unit::known(name).is_some()
            // `2 kg * g` is a weight.
            && (!falls(name) || unit.unit.dimension.get(Base::Mass).is_zero())
            && let sign = siblings.get(at).map(|(sign, _)| *sign)
            && let mark = if sign == Some(ProductSign::Over) { "/" } else { "·" }
            && let whole = format!("{}{mark}{}", self.said(unit.span), self.said(span).replace(' ', ""))
            && Unit::known(&whole).is_some()
        {
            let number = self.said(Span {
                start: before.span.start,
                end: unit.span.start,
            });
            let write = format!("{} {whole}", number.trim());
            self.fault(
                Fault::new(
                    Code::UNKNOWN_NAME,
                    span,
                    format!(
                        "`{name}` is not known here; a part of a unit is joined to it by `·` or `/`, without blanks"
                    ),
                )
                .help(format!("for the unit write `{write}`"))
                .fix("join the unit", before.span.join(span), write),
            );
            return;
        }
        let of_name = Span::new(span.start as usize, span.start as usize + name.len());
        self.unknown(name, of_name);
    }

    /// `M = 9.55 * P / n` in the place of a value: the name and its sign.
    fn named_again(&self, span: Span) -> Option<Span> {
        if self.inside.is_some() || self.base != 0 {
            return None;
        }
        let (before, after) = (
            self.text.get(..span.start as usize)?,
            self.text.get(span.end as usize..)?,
        );
        let rest = after
            .trim_start()
            .strip_prefix('=')
            .filter(|rest| !rest.starts_with('='))?;
        let kept = rest.trim_start();
        (before.trim().is_empty() && !kept.is_empty())
            .then(|| Span::new(span.start as usize, self.text.len() - kept.len()))
    }

    /// `15-kW`, `15*kW`, `1450/min`: a unit that is joined to its number by a sign, and what to write.
    fn joined_unit(&self, name: &str, span: Span) -> Option<(Span, Vec<String>)> {
        let unit = Unit::known(name).filter(|unit| *unit.text == *name)?;
        if self.text().get(span.end as usize..)?.trim_start().starts_with('(') {
            return None;
        }
        let before = self.text().get(..span.start as usize)?.trim_end();
        let sign = before.chars().next_back()?;
        let kept = before.strip_suffix(['-', '–', '−', '*', '·', '×', '/'])?.trim_end();
        let number = words::number_at_end(kept)?;
        let start = kept.len() - number.len();
        // `1-s`, `2*m`: a letter is a name that is missing.
        if name.chars().count() < 2 {
            return None;
        }
        let write = match (sign, &*unit.text) {
            ('/', "min") => vec![format!("{number} r/min"), format!("{number} 1/min")],
            ('/', of) => vec![format!("{number} 1/{of}")],
            _ => vec![format!("{number} {name}")],
        };
        Some((Span::new(start, span.end as usize), write))
    }

    /// Tells of a sheet or list that is not there, with the nearest names or all there are.
    pub(super) fn unknown_sheet(&mut self, sheet: &str, span: Span) {
        let sheets = self.scope.sheets();
        let known = sheets.iter().map(|sheet| &**sheet);
        let published = tables::names().map(|name: &str| name);
        let near = nearest(sheet, known.chain(published), 3);
        let mut fault = Fault::new(
            Code::UNKNOWN_SHEET,
            span,
            format!("there is no sheet or list `{sheet}`"),
        );
        if !near.is_empty() {
            fault = fault.help(format!("did you mean `{}`?", near.join("` or `")));
        } else if !sheets.is_empty() {
            let names = sheets.iter().map(|sheet| &**sheet).collect::<Vec<_>>().join(", ");
            fault = fault.help(format!(
                "this workbook has: {names}; published tables are called by their own names, such as `iec_60072_1`"
            ));
        }
        self.fault(fault);
    }

    /// Tells of a quantity that a sheet, list or table does not have, with the nearest names.
    pub(super) fn unknown_column(&mut self, sheet: SheetId, name: &str, span: Span) {
        let called = self.list_name(sheet);
        let names = self.scope.names_of(sheet);
        let near = nearest(name, names.iter().map(|name| &**name), 3);
        let fault = Fault::new(Code::UNKNOWN_NAME, span, format!("`{called}` has no quantity `{name}`"));
        self.fault(if !near.is_empty() {
            fault.help(format!(
                "did you mean `{called}.{}`?",
                near.join(&format!("` or `{called}."))
            ))
        } else if sheet.table().is_some() {
            let names = names.iter().map(|name| &**name).collect::<Vec<_>>().join(", ");
            fault.help(format!("its columns are {names}"))
        } else {
            fault
        });
    }

    /// `brine.P_sh`, `motors("P-101").P_r`.
    pub(super) fn far(&mut self, sheet: &Name, item: &Item, name: &Name, span: Span) -> Part {
        let Some(id) = self.scope.sheet(sheet) else {
            self.unknown_sheet(sheet, span);
            return Part::Unknown;
        };
        let Some(named) = self.scope.quantity_of(id, name) else {
            self.unknown_column(id, name, span);
            return Part::Unknown;
        };
        let which = match item {
            Item::Same => {
                if self.rows.is_some_and(|rows| rows.sheet == id) {
                    Which::Own
                } else if self.scope.is_list(id) {
                    self.fault(
                        Fault::new(
                            Code::WHICH_ROW,
                            span,
                            format!("`{sheet}` is a list; `{sheet}.{name}` does not say which row"),
                        )
                        .help(format!(
                            "name the row, `{sheet}(\"KEY\").{name}` or `{sheet}(row 1).{name}`, or gather the rows: `sum({name} for {sheet})`"
                        )),
                    );
                    return Part::Unknown;
                } else if !self.scope.same_case(id) {
                    self.fault(
                        Fault::new(
                            Code::WHICH_CASE,
                            span,
                            format!("`{sheet}` has other cases than this sheet; `{sheet}.{name}` does not say which"),
                        )
                        .help(format!("name the case: `{sheet}(\"CASE\").{name}`")),
                    );
                    return Part::Unknown;
                } else {
                    Which::SameCase
                }
            }
            Item::Key(key) => Which::Key(key.clone()),
            Item::Row(row) => Which::Row(*row),
        };
        if self.scope.has_item(id, &which) == Some(false) {
            let (said, what) = match &which {
                Which::Key(key) => (format!("\"{key}\""), "a row or case of this name"),
                Which::Row(row) => (format!("row {row}"), "this row"),
                _ => (String::new(), "this item"),
            };
            let fault = Fault::new(Code::NO_SUCH_ITEM, span, format!("`{sheet}` has no {said}"));
            self.fault(match which {
                Which::Row(_) => fault.help("look at the last row of the list; rows are counted from 1"),
                _ => fault.help(format!(
                    "look whether {what} is spelled as in `{sheet}`, capitals and blanks included"
                )),
            });
            return Part::Unknown;
        }
        let read = Read {
            quantity: named.id,
            which,
        };
        self.reading(&named.sort, read, span)
    }

    /// `here.x` in an aggregate.
    pub(super) fn here(&mut self, name: &Name, span: Span) -> Part {
        if self.rows.is_none() {
            self.fault(
                Fault::new(
                    Code::HERE_OUTSIDE,
                    span,
                    format!("`here.{name}` has a meaning only where rows are gathered"),
                )
                .help(format!("write `{name}`")),
            );
            return Part::Unknown;
        }
        match self.scope.quantity(name) {
            Some(named) => {
                let read = Read {
                    quantity: named.id,
                    which: Which::Here,
                };
                self.reading(&named.sort, read, span)
            }
            None => {
                self.unknown(name, span);
                Part::Unknown
            }
        }
    }

    /// The quantity a bare name stands for, where an argument has to be one: `previous(x)`.
    pub(super) fn own_quantity(&mut self, expr: &Expr, word: &str) -> Option<(super::Named, Name)> {
        if let Node::Name(name) = &expr.node
            && self.bound(name).is_none()
        {
            if let Some(named) = self.scope.quantity(name) {
                return Some((named, name.clone()));
            }
            self.unknown(name, expr.span);
            return None;
        }
        let said = self.said(expr.span).to_owned();
        self.fault(
            Fault::new(
                Code::NAME_NEEDED,
                expr.span,
                format!("`{word}` takes the name of a quantity of this list; `{said}` is none"),
            )
            .help(format!("give `{said}` a line of its own and write its name here")),
        );
        None
    }
}

/// How the acceleration of free fall is called elsewhere.
fn falls(name: &str) -> bool {
    matches!(name, "g" | "g0" | "g_0" | "gn")
}

/// A part of this sort.
pub(super) fn of_sort(sort: &Sort, op: Op, span: Span) -> Part {
    match sort {
        Sort::Quantity { unit, kind, phasor, .. } => {
            let mut term = Term::plain(op, span);
            units::dress(&mut term, unit, *kind);
            term.phasor = phasor.is_some();
            if unit.dimension.is_none() {
                if kind.is_none() {
                    term.set(Count::Undeclared, ONE);
                }
                if !unit.is_plain() {
                    term.unit = Some(unit.clone());
                }
            } else {
                term.unit = Some(unit.clone());
            }
            super::phasors::dressed(&mut term);
            Part::Term(term)
        }
        Sort::Text => Part::Text(op),
        Sort::Choice(words) => Part::Choice(op, words.clone()),
        Sort::Truth => Part::Truth(op),
        Sort::Unknown => Part::Unknown,
    }
}
