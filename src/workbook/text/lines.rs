//! One statement: pieces of the grammar to what they say.

use std::sync::Arc;

use super::split::{WORDS, begins_statement, first_word};
use crate::fault::{Code, Fault, Span};
use crate::language::functions;
use crate::language::syntax::statement::{Part, Piece, Sort, statement};
use crate::language::syntax::{
    Comparison, Item, Name, Node, WrittenUnit, canonical_name, parse, quoted, read_unit, straight_quotes, unquoted,
    words,
};
use crate::quantity::{Kind, PhasorForm, Unit, nearest::nearest, show::Rounding};
use crate::workbook::{
    CurveText, Formula, KindText, Quantity, Role, SeekGoal, Source, SourceWord, Statement, SuchThat,
};

/// What an opening line says besides its statement.
pub(crate) struct Opened {
    pub list: bool,
    pub name: Name,
    pub title: String,
}

/// A statement as read.
pub(crate) struct ReadLine {
    pub statement: Statement,
    pub faults: Vec<Fault>,
    pub opened: Option<Opened>,
    /// Columns of a `rows` line.
    pub columns: Vec<(Name, Span)>,
}

/// Reads the text of one statement.
pub(crate) fn read_line(text: &str, unclosed: Option<usize>) -> ReadLine {
    let mut line = ReadLine {
        statement: Statement::Faulty,
        faults: Vec::new(),
        opened: None,
        columns: Vec::new(),
    };
    let word = first_word(text);
    if !begins_statement(word) {
        line.faults.push(unknown_statement(text, word));
        return line;
    }
    if let Some(at) = unclosed {
        line.faults.push(
            Fault::new(
                Code::UNCLOSED_TEXT,
                Span::new(at, text.len()),
                "this text in quotes is not closed before the end of the line",
            )
            .help("put `\"` at its end; a quote sign inside a text is written `\\\"`"),
        );
        return line;
    }
    let text = &*straight_quotes(text);
    match statement(text) {
        Ok((sort, pieces)) => {
            let mut reader = Reader {
                text,
                pieces: pieces.into_iter().peekable(),
                faults: Vec::new(),
                opened: None,
                columns: Vec::new(),
            };
            line.statement = reader.statement(sort).unwrap_or(Statement::Faulty);
            line.faults = reader.faults;
            line.opened = reader.opened;
            line.columns = reader.columns;
        }
        Err(fault) => line.faults.push(wrong_name(text, &fault).unwrap_or(fault)),
    }
    line
}

fn unknown_statement(text: &str, word: &str) -> Fault {
    let shown = if word.is_empty() {
        text.chars().next().map(String::from).unwrap_or_default()
    } else {
        word.to_owned()
    };
    let fault = Fault::new(
        Code::UNKNOWN_STATEMENT,
        Span::new(0, shown.len()),
        format!("a line cannot begin with `{shown}`"),
    );
    let near = nearest(word, WORDS.iter().map(|(word, _)| *word), 3);
    if let Some((first, rest)) = near.split_first() {
        let fault = if rest.is_empty() {
            fault.fix(format!("write {first}"), Span::new(0, word.len()), *first)
        } else {
            fault
        };
        let near: Vec<String> = near.iter().map(|word| format!("`{word}`")).collect();
        return fault.help(format!("is it {}?", near.join(" or ")));
    }
    if matches!(word, "in" | "to" | "such" | "between" | "from") || SourceWord::find(word).is_some() {
        return fault.help(format!(
            "`{word} …` belongs to the line above: a line goes on only while a bracket is open or with an operator at its beginning"
        ));
    }
    if text
        .get(word.len()..)
        .is_some_and(|rest| rest.trim_start().starts_with('='))
    {
        return fault.help(format!(
            "write `given {word} = …` for an input or `work {word} = …` for a result"
        ));
    }
    let words = text.split_whitespace().count();
    if words >= 3 && !text.contains(['=', '"', '|']) {
        let note = format!("note {}", quoted(text.trim_end()));
        return fault
            .help(format!("a sentence stands in quotes behind `note`: `{note}`"))
            .fix("make a note of it", Span::new(0, text.trim_end().len()), note);
    }
    fault.help("lines begin with given, work, seek, check, note, sheet, list and the like; `#` begins a comment")
}

struct Reader<'t> {
    text: &'t str,
    pieces: std::iter::Peekable<std::vec::IntoIter<Piece>>,
    faults: Vec<Fault>,
    opened: Option<Opened>,
    columns: Vec<(Name, Span)>,
}

impl<'t> Reader<'t> {
    fn of(&self, piece: Piece) -> &'t str {
        self.text
            .get(piece.span.start as usize..piece.span.end as usize)
            .unwrap_or("")
    }

    fn take(&mut self, part: Part) -> Option<Piece> {
        self.pieces.next_if(|piece| piece.part == part)
    }

    fn word(&mut self) -> Option<&'t str> {
        let piece = self.take(Part::Word)?;
        Some(self.of(piece))
    }

    fn name(&mut self) -> Option<(Name, Span)> {
        let piece = self.take(Part::Name)?;
        Some((Name::from(canonical_name(self.of(piece)).as_ref()), piece.span))
    }

    fn string(&mut self) -> Option<String> {
        let piece = self.take(Part::Text)?;
        match unquoted(self.of(piece), piece.span) {
            Ok(text) => Some(text),
            Err(fault) => {
                self.faults.push(fault);
                Some(String::new())
            }
        }
    }

    fn count(&mut self) -> Option<u32> {
        let piece = self.take(Part::Count)?;
        match self.of(piece).parse() {
            Ok(count) => Some(count),
            Err(_) => {
                self.faults.push(
                    Fault::new(Code::NUMBER_SIZE, piece.span, "this whole number is too large")
                        .help("write a number below 4 000 000 000"),
                );
                None
            }
        }
    }

    fn formula(&mut self) -> Option<Formula> {
        let piece = self.take(Part::Formula)?;
        Some(self.formula_at(piece.span))
    }

    fn formula_at(&mut self, span: Span) -> Formula {
        let (formula, faults) = formula(span.of(self.text), span.start);
        self.faults.extend(faults);
        formula
    }

    fn unit(&mut self) -> Option<WrittenUnit> {
        let piece = self.take(Part::Unit)?;
        match read_unit(self.of(piece), piece.span) {
            Ok(unit) => Some(unit),
            Err(fault) => {
                self.faults.push(fault);
                None
            }
        }
    }

    fn kind(&mut self) -> Option<Kind> {
        let piece = self.take(Part::Kind)?;
        self.find_kind(piece)
    }

    fn find_kind(&mut self, piece: Piece) -> Option<Kind> {
        let words = self.of(piece);
        let found = Kind::find(words);
        if found.is_none() {
            if let Some(fault) = self.with_colon(piece) {
                self.faults.push(fault);
                return None;
            }
            let near = Kind::nearest(words);
            let fault = Fault::new(Code::UNKNOWN_KIND, piece.span, format!("`{words}` is not a known kind"));
            let fault = match near.as_slice() {
                [] => fault
                    .help("kinds are words such as shaft power, volume flow, torque; leave `: …` away where none fits"),
                near => {
                    let words: Vec<String> = near.iter().map(|kind| format!("`{}`", kind.words())).collect();
                    let fault = fault.help(match words.as_slice() {
                        [only] => format!("write {only}"),
                        several => format!("is it {}?", several.join(" or ")),
                    });
                    near.iter().fold(fault, |fault, kind| {
                        fault.fix(format!("write {}", kind.words()), piece.span, kind.words())
                    })
                }
            };
            self.faults.push(fault);
        }
        found
    }

    /// `20:1`, `1:30 h`: two numbers with a colon between, in the place of a value.
    fn with_colon(&self, piece: Piece) -> Option<Fault> {
        let before = self.text.get(..piece.span.start as usize)?.trim_end();
        let kept = before.strip_suffix(':')?.trim_end();
        let first = words::number_at_end(kept)?;
        let (second, unit) = self.of(piece).split_once(' ').unwrap_or((self.of(piece), ""));
        let number = |digits: &str| digits.parse::<f64>().ok().filter(|_| !digits.contains(['e', 'E']));
        let (above, below) = (number(first)?, number(second)?);
        let span = Span::new(kept.len() - first.len(), piece.span.end as usize);
        let said = span.of(self.text);
        let fault = |what: &str| {
            Fault::new(
                Code::EXPECTED,
                span,
                format!("`{said}` is {what}; behind `:` stands a kind, in words"),
            )
        };
        Some(match unit.trim() {
            "" => {
                let write = format!("{first}/{second}");
                fault("a ratio, or a time of day")
                    .help(format!(
                        "for the ratio write `{write}`; a time of day is a text, in quotes"
                    ))
                    .fix(format!("write {write}"), span, write)
            }
            "h" | "min" => {
                let write = format!("{} {}", above + below / 60.0, unit.trim());
                fault("a time in two parts")
                    .help(format!("write `{write}`"))
                    .fix(format!("write {write}"), span, write)
            }
            _ => return None,
        })
    }

    fn statement(&mut self, sort: Sort) -> Option<Statement> {
        Some(match sort {
            Sort::Version => Statement::Version(self.count()?),
            Sort::Workbook => Statement::Workbook(self.string()?),
            Sort::About => {
                let what = self.word()?.split_whitespace().collect::<Vec<_>>().join(" ");
                Statement::About(what, self.string()?)
            }
            Sort::Opening => {
                let list = self.word()? == "list";
                let (name, _) = self.name()?;
                let mut groups = None;
                if self.take(Part::Word).is_some() {
                    groups = Some((self.name()?.0, self.name()?.0));
                }
                let title = self.string().unwrap_or_default();
                self.opened = Some(Opened { list, name, title });
                Statement::Opening { groups }
            }
            Sort::Units => Statement::Units(self.word()? == "US"),
            Sort::Supply => Statement::Supply(self.word()? == "single-phase"),
            Sort::Cases => self.cases(),
            Sort::CasesOver => Statement::CasesOver {
                name: self.name()?.0,
                from: self.formula()?,
                to: self.formula()?,
                by: self.formula()?,
            },
            Sort::Quantity => Statement::Quantity(Box::new(self.quantity()?)),
            Sort::Check => Statement::Check {
                formula: self.formula()?,
                text: self.string().unwrap_or_default(),
            },
            Sort::Flag => Statement::Flag {
                text: self.string()?,
                formula: self.formula()?,
            },
            Sort::Curve => self.curve()?,
            Sort::Define => {
                let name = self.name()?.0;
                let mut parameters = Vec::new();
                while self.take(Part::Parameter).is_some() {
                    parameters.push(self.parameter()?);
                }
                Statement::Define {
                    name,
                    parameters,
                    body: self.formula()?,
                    title: self.string(),
                }
            }
            Sort::Note => Statement::Note(self.string()?),
            Sort::Plot => {
                let mut formulas = Vec::new();
                while let Some(formula) = self.formula() {
                    formulas.push(formula);
                }
                let variable = self.name()?.0;
                Statement::Plot {
                    curves: formulas,
                    variable,
                    from: self.formula()?,
                    to: self.formula()?,
                    title: self.string(),
                }
            }
            Sort::Read => {
                let file = self.string()?;
                let (mut sheet, mut headings, mut digest) = (None, None, None);
                while let Some(word) = self.word() {
                    match word {
                        "sheet" => sheet = self.string(),
                        "headings" => headings = self.count(),
                        _ => digest = self.string(),
                    }
                }
                Statement::Read {
                    file,
                    sheet,
                    headings,
                    digest,
                }
            }
            Sort::Rows => {
                while let Some(column) = self.name() {
                    self.columns.push(column);
                }
                Statement::Rows
            }
            Sort::At => {
                let item = match self.string() {
                    Some(key) => Item::Key(key.into()),
                    None => {
                        self.word()?;
                        Item::Row(self.count()?)
                    }
                };
                Statement::At {
                    item,
                    name: self.name()?.0,
                    formula: self.formula()?,
                }
            }
            Sort::Accept => self.accept()?,
        })
    }

    fn cases(&mut self) -> Statement {
        let mut names: Vec<Arc<str>> = Vec::new();
        while let Some(piece) = self.pieces.next() {
            let name = match piece.part {
                Part::Text => unquoted(self.of(piece), piece.span).unwrap_or_default(),
                _ => self.of(piece).trim().to_owned(),
            };
            names.push(name.into());
        }
        Statement::Cases(names)
    }

    fn parameter(&mut self) -> Option<(Name, Option<Kind>)> {
        let name = self.name()?.0;
        Some((name, self.kind()))
    }

    fn curve(&mut self) -> Option<Statement> {
        let name = self.name()?.0;
        self.take(Part::Parameter)?;
        let (parameter, kind) = self.parameter()?;
        let unit = match self.take(Part::InClause) {
            Some(_) => self.unit(),
            None => None,
        };
        let body = match self.formula() {
            Some(formula) => CurveText::Formula(formula),
            None => {
                self.take(Part::Word);
                let mut points = Vec::new();
                while self.take(Part::Point).is_some() {
                    points.push((self.formula()?, self.formula()?));
                }
                CurveText::Points(points)
            }
        };
        Some(Statement::Curve {
            name,
            parameter,
            kind,
            unit,
            body,
            title: self.string(),
        })
    }

    fn accept(&mut self) -> Option<Statement> {
        let piece = self.take(Part::Word)?;
        let code = self.of(piece).to_owned();
        let reason = self.string()?;
        if Code::find(&code).is_none() {
            let near = nearest(&code, Code::all().map(Code::word), 3);
            let fault = Fault::new(
                Code::UNKNOWN_CODE,
                piece.span,
                format!("`{code}` is not the code of a warning"),
            );
            self.faults.push(match near.as_slice() {
                [] => fault.help("the code stands in square brackets with the warning"),
                near => fault.help(format!("is it `{}`?", near.join("` or `"))),
            });
        }
        Some(Statement::Accept { code, reason })
    }

    fn quantity(&mut self) -> Option<Quantity> {
        let role_piece = self.take(Part::Word)?;
        let role = match self.of(role_piece) {
            "given" => Role::Given,
            "work" => Role::Work,
            _ => Role::Seek,
        };
        let (name, name_span) = self.name()?;
        let mut quantity = Quantity {
            role,
            name,
            name_span,
            values: Vec::new(),
            unit: None,
            rounding: None,
            form: None,
            such_that: None,
            kind: None,
            title: None,
            from: None,
            source: None,
        };
        let mut seen: Vec<Part> = Vec::new();
        let mut goal = None;
        let mut between = None;
        while let Some(piece) = self.pieces.next() {
            if seen.contains(&piece.part) {
                self.faults.push(
                    Fault::new(
                        Code::CLAUSE_TWICE,
                        piece.span,
                        format!("{} stands twice in this line", clause(piece.part)),
                    )
                    .help("take one of them away"),
                );
            }
            seen.push(piece.part);
            self.belongs(role, piece);
            match piece.part {
                Part::ValueClause => quantity.values = self.values(),
                Part::InClause => quantity.unit = self.unit(),
                Part::ToClause => (quantity.rounding, quantity.form) = self.shown_as(piece.span),
                Part::SuchClause => goal = self.goal(piece.span),
                Part::BetweenClause => between = self.formula().zip(self.formula()),
                Part::KindClause => quantity.kind = self.kind_text(),
                Part::FromClause => quantity.from = self.string(),
                Part::SourceClause => quantity.source = self.source(),
                Part::Text => {
                    quantity.title = unquoted(self.of(piece), piece.span)
                        .map_err(|fault| self.faults.push(fault))
                        .ok();
                }
                _ => {}
            }
        }
        let whole = role_piece.span.join(name_span);
        match role {
            Role::Work if quantity.values.iter().all(Option::is_none) => self.faults.push(
                Fault::new(
                    Code::CLAUSE_MISSING,
                    whole,
                    format!("the result `{}` has no formula", quantity.name),
                )
                .help(format!(
                    "write `work {} = …`, or `given {}` for an input",
                    quantity.name, quantity.name
                )),
            ),
            Role::Seek if !seen.contains(&Part::SuchClause) => self.faults.push(
                Fault::new(
                    Code::CLAUSE_MISSING,
                    whole,
                    format!("nothing says what `{}` must satisfy", quantity.name),
                )
                .help(format!(
                    "write `seek {} such that LEFT = RIGHT between A and B`",
                    quantity.name
                )),
            ),
            _ => {}
        }
        quantity.such_that = goal.map(|goal| SuchThat { goal, between });
        Some(quantity)
    }

    /// Whether a clause goes with the role.
    fn belongs(&mut self, role: Role, piece: Piece) {
        let (fits, help) = match piece.part {
            Part::SuchClause | Part::BetweenClause => (
                role == Role::Seek,
                "an equation belongs to `seek NAME such that LEFT = RIGHT between A and B`",
            ),
            Part::ValueClause => (
                role != Role::Seek,
                "a `seek` has an equation: `seek NAME such that LEFT = RIGHT`; a formula belongs to `work`",
            ),
            Part::FromClause | Part::SourceClause => (
                role == Role::Given,
                "only a `given` comes from somewhere; a result rests on its inputs",
            ),
            _ => return,
        };
        if !fits {
            let word = match role {
                Role::Given => "given",
                Role::Work => "work",
                Role::Seek => "seek",
            };
            self.faults.push(
                Fault::new(
                    Code::CLAUSE_MISPLACED,
                    piece.span,
                    format!("{} does not belong to `{word}`", clause(piece.part)),
                )
                .help(help),
            );
        }
    }

    fn values(&mut self) -> Vec<Option<Formula>> {
        let mut values = Vec::new();
        while self.take(Part::Case).is_some() {
            values.push(self.formula());
        }
        // `given x =` says no more than `given x`.
        if values.len() == 1 && values.iter().all(Option::is_none) {
            values.clear();
        }
        values
    }

    /// `to 3 digits`, `to 0.1 polar`, `to polar`.
    fn shown_as(&mut self, span: Span) -> (Option<Rounding>, Option<PhasorForm>) {
        if let Some(form) = self.word() {
            return (None, PhasorForm::find(form));
        }
        let rounding = self.rounding(span);
        (rounding, self.word().and_then(PhasorForm::find))
    }

    fn rounding(&mut self, span: Span) -> Option<Rounding> {
        let rounding = if let Some(piece) = self.take(Part::Count) {
            self.take(Part::Word);
            let digits: u8 = self.of(piece).parse().unwrap_or(u8::MAX);
            (1..=28).contains(&digits).then_some(Rounding::Digits(digits))
        } else {
            let piece = self.take(Part::Number)?;
            let step = self.of(piece).parse::<rust_decimal::Decimal>().ok();
            step.filter(|step| step.is_sign_positive() && !step.is_zero())
                .map(Rounding::Step)
        };
        if rounding.is_none() {
            self.faults.push(
                Fault::new(Code::ROUNDING, span, "a result cannot be rounded in this way")
                    .help("write `to 3 digits` (1 to 28), or a step such as `to 0.1`"),
            );
        }
        rounding
    }

    fn goal(&mut self, span: Span) -> Option<SeekGoal> {
        let piece = self.take(Part::Formula)?;
        if let Some(word) = self.word() {
            let formula = self.formula_at(piece.span);
            return Some(if word == "largest" {
                SeekGoal::Largest(formula)
            } else {
                SeekGoal::Smallest(formula)
            });
        }
        let text = piece.span.of(self.text);
        let (tree, faults) = parse(text);
        if let Node::Compare(left, chain) = &tree.node
            && let [(Comparison::Equal, right)] = chain.as_slice()
        {
            let middle = Span::new(piece.span.start as usize, (piece.span.start + left.span.end) as usize);
            let rest = Span::new((piece.span.start + right.span.start) as usize, piece.span.end as usize);
            return Some(SeekGoal::Equation(self.formula_at(middle), self.formula_at(rest)));
        }
        if faults.iter().any(Fault::is_error) {
            self.faults
                .extend(faults.into_iter().map(|fault| fault.shifted(piece.span.start)));
        } else {
            self.faults.push(
                Fault::new(Code::CLAUSE_MISSING, span, "after `such that` one equation is expected")
                    .help("write `such that LEFT = RIGHT`, `such that E is largest` or `such that E is smallest`"),
            );
        }
        None
    }

    fn kind_text(&mut self) -> Option<KindText> {
        if let Some(piece) = self.take(Part::Kind) {
            let words = self.of(piece);
            if words == "text" {
                return Some(KindText::Text);
            }
            return self.find_kind(piece).map(KindText::Kind);
        }
        let mut words: Vec<Arc<str>> = Vec::new();
        while let Some(piece) = self.take(Part::ChoiceName) {
            words.push(self.of(piece).into());
        }
        Some(KindText::Choice(words.into()))
    }

    fn source(&mut self) -> Option<Source> {
        let word = SourceWord::find(self.word()?)?;
        Some(Source {
            word,
            text: self.string(),
        })
    }
}

/// A clause as a user would call it.
fn clause(part: Part) -> &'static str {
    match part {
        Part::ValueClause => "the formula after `=`",
        Part::InClause => "`in` with a unit",
        Part::ToClause => "`to` with a rounding",
        Part::SuchClause => "`such that`",
        Part::BetweenClause => "`between`",
        Part::KindClause => "the kind after `:`",
        Part::FromClause => "`from` with a heading",
        Part::SourceClause => "the source",
        _ => "the title in quotes",
    }
}

/// A formula at a place of a line, and its faults with places in the line.
pub(crate) fn formula(text: &str, at: u32) -> (Formula, Vec<Fault>) {
    let (tree, faults) = parse(text);
    let faulty = faults.iter().any(Fault::is_error);
    let faults = faults.into_iter().map(|fault| fault.shifted(at)).collect();
    (
        Formula {
            text: text.into(),
            at,
            tree: Arc::new(tree),
            faulty,
        },
        faults,
    )
}

/// Why a word cannot be a name, and what to write in its place; `None` where it may be one.
pub(crate) fn name_fault(word: &str) -> Option<Fault> {
    let is_constant = functions::constant(word).is_some();
    if may_be_name(word) && !is_constant {
        return None;
    }
    let odd = |letter: &char| !(letter.is_alphanumeric() || matches!(letter, '_' | '′'));
    let message = match (word.chars().find(odd), word.chars().next()) {
        (_, None) => "a name is needed".to_owned(),
        _ if is_constant => format!("`{word}` stands for a constant of the language"),
        _ if words::is_reserved(word) => format!("`{word}` is a word of the language"),
        (Some(blank), _) if blank.is_whitespace() => format!("`{word}` has a blank in it"),
        (Some(sign), _) => format!("`{word}` has `{sign}` in it"),
        (None, Some(first)) => format!("`{word}` begins with `{first}`"),
    };
    let span = Span::new(0, word.len());
    let fault = Fault::new(Code::CHANGE_REFUSED, span, message);
    let rule = "a name is letters, digits and `_`, a letter first";
    Some(match name_near(word) {
        Some(near) => fault
            .help(format!("{rule}: write `{near}`"))
            .fix(format!("write {near}"), span, near),
        None => fault.help(rule),
    })
}

/// What is wrong with a line whose name is none, `given P-r = 5 kW`, `given P [kW] = 5`; `fault`: where it breaks off.
fn wrong_name(text: &str, fault: &Fault) -> Option<Fault> {
    // A remark is none of it.
    let text = text.split('#').next()?;
    let (role, rest) = text.split_once([' ', '\t'])?;
    let start = text.len() - rest.trim_start().len();
    let end = start + text.get(start..)?.find('=')?;
    let said = text.get(start..end)?.trim_end();
    let blanks = said
        .split_whitespace()
        .all(|word| word.chars().all(|letter| letter.is_alphanumeric() || letter == '_'));
    if !matches!(role, "given" | "work" | "seek") || fault.span.start as usize > end || said.ends_with(':') {
        return None;
    }
    if said.is_empty() {
        let told = Fault::new(Code::EXPECTED, Span::new(end, end + 1), "before `=` a name is missing");
        return Some(told.help(format!(
            "write `{role} P = …`, with a name of your own; formulas read the value by it"
        )));
    }
    let span = Span::new(start, start + said.len());
    if let Some((name, unit)) = name_with_unit(said) {
        let told = Fault::new(
            Code::EXPECTED,
            span,
            format!("the unit `{unit}` stands behind the name `{name}`"),
        );
        let told = told.help(format!("a unit stands behind its value: `{role} {name} = 5 {unit}`"));
        let value = text.get(end + 1..)?;
        let number = value.trim_start().split([' ', ':', '"', '|']).next().unwrap_or("");
        if number.parse::<f64>().is_err() {
            return Some(told);
        }
        let whole = Span::new(start, text.len() - value.trim_start().len() + number.len());
        let write = format!("{name} = {number} {unit}");
        return Some(told.fix(format!("write {role} {write}"), whole, write));
    }
    // What is parted by blanks alone, or a word of the language, is told where it was read.
    if blanks && !said.starts_with(|first: char| first.is_ascii_digit()) {
        return None;
    }
    let told = Fault::new(Code::EXPECTED, span, format!("`{said}` is no name"));
    let rule = "a name is letters, digits and `_`, a letter first";
    let bare = said.trim_matches('"');
    let near = Some(bare.to_owned()).filter(|bare| may_be_name(bare));
    Some(match near.or_else(|| name_near(bare)) {
        Some(near) => told
            .help(format!("{rule}: write `{near}`, here and in the formulas that read it"))
            .fix(format!("write {near}"), span, near),
        None => told.help(rule),
    })
}

/// `P [kW]`, `P (kW)`, `P, kW`, `P kW`: a name and the unit behind it.
fn name_with_unit(said: &str) -> Option<(&str, &str)> {
    let at = said.find([' ', ',', '[', '('])?;
    let (name, unit) = said.split_at_checked(at)?;
    let unit = unit.trim_matches([' ', ',', '[', ']', '(', ')']);
    let known = Unit::known(unit).is_some_and(|unit| !unit.is_plain());
    (may_be_name(name) && known).then_some((name, unit))
}

/// A name that is near to a word that is none: `T n` is `T_n`, `in` is `in_1`, `2P` is `P_2`.
pub(crate) fn name_near(word: &str) -> Option<String> {
    if may_be_name(word) || words::is_reserved(word) {
        return Some(format!("{word}_1"));
    }
    let kept = |letter: char| letter.is_alphanumeric() || matches!(letter, '_' | '′');
    let parts: Vec<&str> = word
        .split(|letter: char| !kept(letter))
        .filter(|part| !part.is_empty())
        .collect();
    let joined = parts.join("_");
    let digits = joined.len() - joined.trim_start_matches(|letter: char| !letter.is_alphabetic()).len();
    let (first, rest) = joined.split_at(digits);
    let first = first.trim_matches('_');
    let name = if first.is_empty() {
        rest.to_owned()
    } else {
        format!("{rest}_{first}")
    };
    may_be_name(&name).then_some(name)
}

/// Whether a word may be the name of a quantity.
pub(crate) fn may_be_name(word: &str) -> bool {
    let mut letters = word.chars();
    letters.next().is_some_and(char::is_alphabetic)
        && letters.all(|letter| letter.is_alphanumeric() || letter == '_' || letter == '′')
        && !words::is_reserved(word)
}
