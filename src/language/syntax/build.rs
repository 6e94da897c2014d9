//! Parser pairs to tree, in the order of the precedence table.
//!
//! Always: stops at 200 levels and 1000 operators; mistakes that the grammar reads on purpose become faults and the tree goes
//! on around them.

use std::str::FromStr;

use pest::iterators::{Pair, Pairs};
use rust_decimal::Decimal;

use super::bounds::{self, MOST_LEVELS, MOST_OPERATORS};
use super::grammar::Rule;
use super::precedence::{self, Level};
use super::stamped::is_fraction;
use super::tree::{Comparison, Expr, Item, Literal, Name, Node, ProductSign, SumSign, Tolerance};
use super::twins::canonical_name;
use super::units::{read_unit, read_unit_after};
use super::words;
use crate::fault::{Code, Fault, Span};
use crate::quantity::Unit;

/// Builds the tree of a parsed formula.
pub(super) fn build(text: &str, formula: Pairs<'_, Rule>) -> (Expr, Vec<Fault>) {
    let mut builder = Builder {
        text,
        faults: Vec::new(),
        levels: 0,
        operators: 0,
        stopped: false,
    };
    let mut tree = bad(Span::new(0, text.len()));
    for pair in formula {
        if pair.as_rule() == Rule::sequence {
            tree = builder.one_value(pair);
        }
    }
    if builder.stopped {
        return (bad(Span::new(0, text.len())), builder.faults);
    }
    (tree, builder.faults)
}

fn negated(minus: Span, number: Expr) -> Expr {
    let span = minus.join(number.span);
    Expr {
        node: Node::Negative(Box::new(number)),
        span,
    }
}

/// What could not be read.
pub(super) fn bad(span: Span) -> Expr {
    Expr { node: Node::Bad, span }
}

/// The place of a pair. Where a rule ends with something optional, pest counts the blanks and comments before the missing part
/// to the pair; they are left out here, else they would get into formulas that are cut out of a line.
pub(super) fn span_of(pair: &Pair<'_, Rule>) -> Span {
    let span = pair.as_span();
    let mut end = span.end();
    let mut last = Some(pair.clone());
    while let Some(pair) = last {
        end = pair.as_span().end();
        let open_ended = matches!(
            pair.as_rule(),
            Rule::sequence | Rule::item | Rule::value | Rule::reference
        );
        last = open_ended.then(|| pair.into_inner().next_back()).flatten();
    }
    Span::new(span.start(), end)
}

type Row<'i> = std::iter::Peekable<Pairs<'i, Rule>>;

struct Builder<'t> {
    text: &'t str,
    faults: Vec<Fault>,
    levels: usize,
    operators: usize,
    stopped: bool,
}

impl Builder<'_> {
    fn fault(&mut self, fault: Fault) {
        if !self.stopped {
            self.faults.push(fault);
        }
    }

    /// Goes one level deeper; false where that is too deep, and then all stops.
    fn deeper(&mut self, at: Span) -> bool {
        self.levels += 1;
        if self.levels > MOST_LEVELS {
            self.fault(bounds::too_deep(at));
            self.stopped = true;
        }
        !self.stopped
    }

    fn operator(&mut self) -> bool {
        self.operators += 1;
        if self.operators > MOST_OPERATORS {
            self.fault(bounds::too_many(self.text));
            self.stopped = true;
        }
        !self.stopped
    }

    /// A sequence where one value is wanted: a value or a choice.
    fn one_value(&mut self, sequence: Pair<'_, Rule>) -> Expr {
        match alone(&sequence) {
            Some(value) => self.value(value),
            None => self.choice_or_fault(sequence),
        }
    }

    /// The long way: several items with commas between them.
    #[inline(never)]
    fn choice_or_fault(&mut self, sequence: Pair<'_, Rule>) -> Expr {
        let span = span_of(&sequence);
        let commas: Vec<Span> = sequence
            .clone()
            .into_inner()
            .filter(|pair| pair.as_rule() == Rule::comma)
            .map(|pair| span_of(&pair))
            .collect();
        let values = self.values(sequence);
        self.only_value(values, &commas, span)
    }

    fn only_value(&mut self, mut values: Vec<Expr>, commas: &[Span], span: Span) -> Expr {
        if values.len() == 1
            && let Some(value) = values.pop()
        {
            return value;
        }
        if !self.stopped {
            let at = commas.last().copied().unwrap_or(span);
            self.fault(
                Fault::new(
                    Code::MISPLACED_COMMA,
                    at,
                    "here one value is expected, but a comma separates several",
                )
                .help("commas stand between arguments, `f(a, b)`, and between the arms of a choice: `A when C, otherwise B`"),
            );
        }
        bad(span)
    }

    /// The values of a sequence; arms of a choice are put together.
    fn values(&mut self, sequence: Pair<'_, Rule>) -> Vec<Expr> {
        let mut values = Vec::new();
        let mut arms: Vec<(Expr, Expr)> = Vec::new();
        let mut parts = Vec::new();
        for item in sequence.into_inner() {
            if item.as_rule() == Rule::item {
                self.item(item.clone(), &mut parts);
                self.arrange(&item, &mut parts, &mut arms, &mut values);
            }
            if self.stopped {
                break;
            }
        }
        if !arms.is_empty() {
            values.push(choice(arms, None));
        }
        values
    }

    fn item(&mut self, item: Pair<'_, Rule>, parts: &mut Vec<Expr>) {
        for pair in item.into_inner() {
            if pair.as_rule() == Rule::value {
                self.value_into(pair, parts);
            }
        }
    }

    /// Its own small frame: this is on the way of every bracket of a call.
    fn value_into(&mut self, pair: Pair<'_, Rule>, out: &mut Vec<Expr>) {
        let value = self.value(pair);
        out.push(value);
    }

    /// Puts the parts of an item where they belong: an arm, the last resort, or a value.
    fn arrange(
        &mut self,
        item: &Pair<'_, Rule>,
        parts: &mut Vec<Expr>,
        arms: &mut Vec<(Expr, Expr)>,
        values: &mut Vec<Expr>,
    ) {
        let first_word = item.clone().into_inner().next().map(|pair| pair.as_rule());
        let last_resort = first_word == Some(Rule::otherwise_word);
        let mut parts = parts.drain(..);
        match (parts.next(), parts.next()) {
            (Some(value), Some(condition)) => arms.push((value, condition)),
            (Some(value), None) if last_resort => {
                if arms.is_empty() {
                    let span = span_of(item);
                    self.fault(
                        Fault::new(
                            Code::EXPECTED,
                            span,
                            "`otherwise` is the last resort of a choice, but no `when` stands before it",
                        )
                        .help("write `A when CONDITION, otherwise B`"),
                    );
                    values.push(bad(span));
                } else {
                    values.push(choice(std::mem::take(arms), Some(Box::new(value))));
                }
            }
            (Some(value), None) => {
                if !arms.is_empty() {
                    values.push(choice(std::mem::take(arms), None));
                }
                values.push(value);
            }
            _ => {}
        }
    }

    /// A row of operands and operators with its conversion.
    fn value(&mut self, pair: Pair<'_, Rule>) -> Expr {
        let span = span_of(&pair);
        let mut row = pair.into_inner().peekable();
        let inner = self.climb(&mut row, Level::Else);
        if self.stopped {
            return bad(span);
        }
        if row.peek().is_none() {
            return inner;
        }
        self.converted(row, inner, span)
    }

    /// A value in the unit that follows.
    #[inline(never)]
    fn converted(&mut self, mut row: Row<'_>, inner: Expr, span: Span) -> Expr {
        match row.find(|pair| pair.as_rule() == Rule::unit_after_in) {
            Some(unit) => match read_unit(unit.as_str(), span_of(&unit)) {
                Ok(unit) => Expr {
                    node: Node::In(Box::new(inner), unit),
                    span,
                },
                Err(fault) => {
                    self.fault(fault);
                    bad(span)
                }
            },
            None => inner,
        }
    }

    /// Operands joined by operators at least as tight as `least`.
    fn climb(&mut self, row: &mut Row<'_>, least: Level) -> Expr {
        let left = self.operand(row);
        match row.peek() {
            Some(_) => self.climb_on(row, left, least),
            None => left,
        }
    }

    fn climb_on(&mut self, row: &mut Row<'_>, mut left: Expr, least: Level) -> Expr {
        while let Some((rule, level)) = next_operator(row)
            && level >= least
            && !self.stopped
        {
            left = match rule {
                Rule::sum_sign => self.sum(row, left),
                Rule::product_sign => self.product(row, left),
                Rule::comparison => self.compare(row, left),
                Rule::and_word => {
                    let parts = self.same(row, left, Rule::and_word, Level::Not);
                    joined(parts, Node::And)
                }
                Rule::or_word => {
                    let parts = self.same(row, left, Rule::or_word, Level::And);
                    joined(parts, Node::Or)
                }
                _ => self.rightward(row, left, rule),
            };
        }
        left
    }

    fn sum(&mut self, row: &mut Row<'_>, first: Expr) -> Expr {
        let mut span = first.span;
        let mut parts = vec![(SumSign::Plus, first)];
        while let Some(sign) = row.next_if(|pair| pair.as_rule() == Rule::sum_sign) {
            if !self.operator() {
                break;
            }
            self.plus_minus(&sign, row);
            let part = self.climb(row, Level::Product);
            span = span.join(part.span);
            parts.push((precedence::sum_sign(sign.as_str()), part));
        }
        Expr {
            node: Node::Sum(parts),
            span,
        }
    }

    /// Plus and minus in one stroke are mostly meant for a tolerance, and would be worked as a minus.
    fn plus_minus(&mut self, sign: &Pair<'_, Rule>, row: &mut Row<'_>) {
        let plus = span_of(sign);
        let minus = row
            .peek()
            .filter(|next| next.as_rule() == Rule::minus_sign)
            .map(span_of);
        if let Some(minus) = minus.filter(|minus| sign.as_str() == "+" && minus.start == plus.end) {
            let both = plus.join(minus);
            let fault = Fault::new(Code::OPERATOR_FORM, both, "`+-` is plus, then minus")
                .help("for a tolerance write `±` or `+/-`; for a sum leave a blank between: `+ -`")
                .fix("write ±", both, "±")
                .fix("write + -", both, "+ -");
            self.fault(fault);
        }
    }

    fn product(&mut self, row: &mut Row<'_>, first: Expr) -> Expr {
        let mut span = first.span;
        let mut parts = vec![(ProductSign::Times, first)];
        while let Some(sign) = row.next_if(|pair| pair.as_rule() == Rule::product_sign) {
            if !self.operator() {
                break;
            }
            let part = self.climb(row, Level::Minus);
            span = span.join(part.span);
            parts.push((precedence::product_sign(sign.as_str()), part));
        }
        Expr {
            node: Node::Product(parts),
            span,
        }
    }

    fn compare(&mut self, row: &mut Row<'_>, first: Expr) -> Expr {
        let mut span = first.span;
        let mut chain = Vec::new();
        while let Some(sign) = row.next_if(|pair| pair.as_rule() == Rule::comparison) {
            if !self.operator() {
                break;
            }
            let (comparison, instead) = precedence::comparison(sign.as_str());
            if let Some(instead) = instead {
                self.fault(operator_form(span_of(&sign), sign.as_str(), instead));
            }
            let part = self.climb(row, Level::Sum);
            span = span.join(part.span);
            chain.push((comparison, part));
        }
        Expr {
            node: Node::Compare(Box::new(first), chain),
            span,
        }
    }

    fn same(&mut self, row: &mut Row<'_>, first: Expr, rule: Rule, tighter: Level) -> Vec<Expr> {
        let mut parts = vec![first];
        while row.next_if(|pair| pair.as_rule() == rule).is_some() {
            if !self.operator() {
                break;
            }
            parts.push(self.climb(row, tighter));
        }
        parts
    }

    /// `else`, `^` and `∠`.
    fn rightward(&mut self, row: &mut Row<'_>, left: Expr, rule: Rule) -> Expr {
        let Some(sign) = row.next() else { return left };
        let at = span_of(&sign);
        if !self.operator() || !self.deeper(at) {
            return left;
        }
        if rule == Rule::wrong_power {
            self.fault(operator_form(at, "**", "^"));
        }
        let is_power = matches!(rule, Rule::power_sign | Rule::wrong_power);
        let right = match rule {
            Rule::else_word => self.climb(row, Level::Else),
            Rule::angle_sign => self.climb(row, Level::Angle),
            _ => self.climb(row, Level::Power),
        };
        self.levels -= 1;
        let span = left.span.join(right.span);
        if is_power && let Some(fault) = self.power_of_ten(&left, &right) {
            self.fault(fault);
            return bad(span);
        }
        let node = match rule {
            Rule::else_word => Node::Else(Box::new(left), Box::new(right)),
            Rule::angle_sign => Node::Call {
                name: Name::from("polar"),
                name_span: at,
                arguments: vec![left, right],
            },
            _ => Node::Power(Box::new(left), Box::new(right)),
        };
        Expr { node, span }
    }

    /// `7.5*10^3 W`, where the unit would belong to the exponent.
    fn power_of_ten(&self, base: &Expr, exponent: &Expr) -> Option<Fault> {
        let literal = |expr: &Expr| match &expr.node {
            Node::Number(literal) => Some(literal.clone()),
            _ => None,
        };
        let ten = literal(base).is_some_and(|ten| ten.value == Decimal::TEN && ten.unit.is_none());
        let (minus, power) = match &exponent.node {
            Node::Negative(inner) => ("-", literal(inner)?),
            _ => ("", literal(exponent)?),
        };
        let unit = power.unit.filter(|_| ten && power.value.is_integer())?;
        let before = self.text.get(..base.span.start as usize)?;
        let kept = before.trim_end().strip_suffix(['*', '·', '×', '⋅']).map(str::trim_end);
        let (start, mantissa) = match kept.and_then(|kept| Some((kept, words::number_at_end(kept)?))) {
            Some((kept, digits)) => (kept.len() - digits.len(), digits),
            None => (base.span.start as usize, "1"),
        };
        let span = Span::new(start, exponent.span.end as usize);
        let write = format!(
            "{mantissa}e{minus}{} {}",
            power.value.normalize(),
            unit.span.of(self.text)
        );
        Some(
            Fault::new(
                Code::NUMBER_FORM,
                span,
                format!(
                    "in `{}` the unit belongs to the exponent; a number and its power of ten are written in one",
                    span.of(self.text)
                ),
            )
            .help(format!("write `{write}`"))
            .fix(format!("write {write}"), span, write),
        )
    }

    /// An operand with what stands before and behind it.
    fn operand(&mut self, row: &mut Row<'_>) -> Expr {
        let Some(pair) = row.next() else {
            return bad(Span::new(self.text.len(), self.text.len()));
        };
        let span = span_of(&pair);
        match pair.as_rule() {
            Rule::minus_sign | Rule::not_word | Rule::root_sign => self.prefixed(row, pair.as_rule(), span),
            _ => {
                let operand = self.primary(pair);
                let operand = match row.next_if(|pair| pair.as_rule() == Rule::tolerance) {
                    Some(tolerance) => self.toleranced(operand, tolerance),
                    None => operand,
                };
                match row.next_if(|pair| pair.as_rule() == Rule::power_mark) {
                    Some(mark) => self.raised_to(operand, &mark),
                    None => operand,
                }
            }
        }
    }

    /// `1760 r/min ± 8 r/min`
    #[inline(never)]
    fn toleranced(&mut self, value: Expr, pair: Pair<'_, Rule>) -> Expr {
        let at = span_of(&pair);
        let span = value.span.join(at);
        self.operator();
        if !matches!(value.node, Node::Number(_) | Node::Bad) {
            self.fault(
                Fault::new(
                    Code::TOLERANCE_PLACE,
                    at,
                    "a tolerance stands directly after a number with its unit, and nowhere else",
                )
                .help("give the number a line of its own with its tolerance, and use its name here"),
            );
            return bad(span);
        }
        let of = pair.as_str().starts_with("limits");
        let mut numbers = Vec::new();
        let mut negative = None;
        let mut schedule = None;
        for part in pair.into_inner() {
            match part.as_rule() {
                Rule::minus_sign => negative = Some(span_of(&part)),
                Rule::limit => numbers.push(self.limit(part)),
                Rule::schedule => schedule = Some(self.schedule(part)),
                Rule::number | Rule::bracket | Rule::reference => {
                    let mut number = self.primary(part);
                    if let Some(minus) = negative.take() {
                        number = negated(minus, number);
                    }
                    numbers.push(number);
                }
                _ => {}
            }
        }
        let mut numbers = numbers.into_iter().map(Box::new);
        let tolerance = match (schedule, numbers.next(), numbers.next()) {
            (Some(schedule), _, _) => schedule,
            (None, Some(low), Some(high)) if of => Tolerance::Limits(low, high),
            (None, Some(share), Some(of)) => Tolerance::Of(share, of),
            (None, Some(size), None) => Tolerance::Size(size),
            _ => return bad(span),
        };
        Expr {
            node: Node::Toleranced {
                value: Box::new(value),
                tolerance,
            },
            span,
        }
    }

    fn limit(&mut self, pair: Pair<'_, Rule>) -> Expr {
        let span = span_of(&pair);
        let mut minus = None;
        for part in pair.into_inner() {
            match part.as_rule() {
                Rule::minus_sign => minus = Some(span_of(&part)),
                _ => {
                    let number = self.primary(part);
                    return match minus {
                        Some(minus) => negated(minus, number),
                        None => number,
                    };
                }
            }
        }
        bad(span)
    }

    fn schedule(&mut self, pair: Pair<'_, Rule>) -> Tolerance {
        let mut name = (Name::from(""), span_of(&pair));
        let mut arguments = Vec::new();
        for part in pair.into_inner() {
            match part.as_rule() {
                Rule::name => name = (name_of(&part), span_of(&part)),
                Rule::sequence => arguments = self.values(part),
                _ => {}
            }
        }
        Tolerance::Schedule {
            name: name.0,
            name_span: name.1,
            arguments,
        }
    }

    /// `x²`
    fn raised_to(&mut self, operand: Expr, mark: &Pair<'_, Rule>) -> Expr {
        self.operator();
        let at = span_of(mark);
        if mark.as_str().chars().count() > 10 {
            self.fault(number_size(at, mark.as_str()));
            return bad(operand.span.join(at));
        }
        Expr {
            span: operand.span.join(at),
            node: Node::Power(Box::new(operand), Box::new(raised(mark))),
        }
    }

    fn prefixed(&mut self, row: &mut Row<'_>, rule: Rule, at: Span) -> Expr {
        if !self.operator() || !self.deeper(at) {
            return bad(at);
        }
        let inner = match rule {
            Rule::not_word => self.climb(row, Level::Compare),
            Rule::minus_sign => self.climb(row, Level::Power),
            _ => self.operand(row),
        };
        self.levels -= 1;
        let span = at.join(inner.span);
        let node = match rule {
            Rule::not_word => Node::Not(Box::new(inner)),
            Rule::minus_sign => Node::Negative(Box::new(inner)),
            _ => Node::Call {
                name: Name::from("sqrt"),
                name_span: at,
                arguments: vec![inner],
            },
        };
        Expr { node, span }
    }

    fn primary(&mut self, pair: Pair<'_, Rule>) -> Expr {
        match pair.as_rule() {
            Rule::bracket => self.bracket(pair),
            Rule::reference => self.reference(pair),
            _ => self.plain_primary(pair),
        }
    }

    fn plain_primary(&mut self, pair: Pair<'_, Rule>) -> Expr {
        let span = span_of(&pair);
        let node = match pair.as_rule() {
            Rule::number => self.number(pair),
            Rule::text => self.text_node(&pair),
            Rule::wrong_text => {
                self.fault(unclosed_text(span, pair.as_str()));
                Node::Bad
            }
            Rule::imaginary => Node::Name(Name::from("j")),
            Rule::here => match pair.into_inner().find(|inner| inner.as_rule() == Rule::name) {
                Some(name) => Node::Here(name_of(&name)),
                None => Node::Bad,
            },
            _ => Node::Bad,
        };
        Expr { node, span }
    }

    fn bracket(&mut self, pair: Pair<'_, Rule>) -> Expr {
        let span = span_of(&pair);
        if !self.deeper(Span::new(span.start as usize, span.start as usize + 1)) {
            return bad(span);
        }
        let Some(sequence) = pair.into_inner().find(|inner| inner.as_rule() == Rule::sequence) else {
            return bad(span);
        };
        let mut inner = self.one_value(sequence);
        self.levels -= 1;
        inner.span = span;
        inner
    }

    fn text_node(&mut self, pair: &Pair<'_, Rule>) -> Node {
        match unquoted(pair.as_str(), span_of(pair)) {
            Ok(text) => Node::Text(text.into()),
            Err(fault) => {
                self.fault(fault);
                Node::Bad
            }
        }
    }

    fn number(&mut self, pair: Pair<'_, Rule>) -> Node {
        let mut value = None;
        let mut unit = None;
        let mut fine = true;
        let mut digits = "";
        let whole = span_of(&pair);
        let whole_text = pair.as_str();
        for part in pair.into_inner() {
            let span = span_of(&part);
            match part.as_rule() {
                Rule::plain_number => match decimal(part.as_str()) {
                    Some(number) => {
                        digits = part.as_str();
                        value = Some(number);
                    }
                    None => {
                        self.fault(number_size(span, part.as_str()));
                        fine = false;
                    }
                },
                Rule::wrong_number => {
                    let among = self
                        .text
                        .get(..span.start as usize)
                        .is_some_and(|before| before.contains('('));
                    self.fault(number_form(span, part.as_str(), among));
                    fine = false;
                }
                Rule::wrong_fraction => {
                    self.fault(fraction(whole, whole_text));
                    fine = false;
                }
                Rule::unit => match read_unit_after(digits, part.as_str(), span) {
                    Ok(read) => unit = Some(read),
                    Err(fault) => {
                        self.fault(fault);
                        fine = false;
                    }
                },
                _ => {}
            }
        }
        match value {
            Some(value) if fine => Node::Number(Literal { value, unit }),
            _ => Node::Bad,
        }
    }

    fn reference(&mut self, pair: Pair<'_, Rule>) -> Expr {
        let span = span_of(&pair);
        let last = pair.clone().into_inner().last();
        match last {
            Some(call) if call.as_rule() == Rule::call => self.call(&pair, call),
            _ => Expr {
                node: self.named(pair),
                span,
            },
        }
    }

    fn named(&mut self, pair: Pair<'_, Rule>) -> Node {
        let mut inner = pair.into_inner();
        let Some(first) = inner.next() else { return Node::Bad };
        let name = name_of(&first);
        for part in inner {
            match part.as_rule() {
                Rule::name => {
                    return Node::Far {
                        sheet: name,
                        item: Item::Same,
                        name: name_of(&part),
                    };
                }
                Rule::item_call => return self.item_call(name, part),
                _ => {}
            }
        }
        Node::Name(name)
    }

    fn item_call(&mut self, sheet: Name, pair: Pair<'_, Rule>) -> Node {
        let mut item = None;
        let mut name = None;
        for part in pair.into_inner() {
            match part.as_rule() {
                Rule::count => match part.as_str().parse::<u32>() {
                    Ok(row) if row > 0 => item = Some(Item::Row(row)),
                    _ => self.fault(
                        Fault::new(
                            Code::EXPECTED,
                            span_of(&part),
                            format!("`{}` is no row number; rows are counted from 1", part.as_str()),
                        )
                        .help("write the number of the row in the list, such as `row 12`"),
                    ),
                },
                Rule::text => match unquoted(part.as_str(), span_of(&part)) {
                    Ok(key) => item = Some(Item::Key(key.into())),
                    Err(fault) => self.fault(fault),
                },
                Rule::name => name = Some(name_of(&part)),
                _ => {}
            }
        }
        match (item, name) {
            (Some(item), Some(name)) => Node::Far { sheet, item, name },
            _ => Node::Bad,
        }
    }

    fn call(&mut self, reference: &Pair<'_, Rule>, pair: Pair<'_, Rule>) -> Expr {
        let mut arguments = Vec::new();
        let mut gather = None;
        if !self.deeper(span_of(&pair)) {
            return bad(span_of(&pair));
        }
        for part in pair.into_inner() {
            match part.as_rule() {
                Rule::sequence => arguments = self.values(part),
                Rule::gather => gather = Some(Box::new(self.gather(part))),
                _ => {}
            }
        }
        self.levels -= 1;
        self.called(reference, arguments, gather)
    }

    fn called(&mut self, reference: &Pair<'_, Rule>, mut arguments: Vec<Expr>, gather: Option<Box<Gather>>) -> Expr {
        let span = span_of(reference);
        let Some(name_pair) = reference.clone().into_inner().next() else {
            return bad(span);
        };
        if self.stopped {
            return bad(span);
        }
        let name = name_of(&name_pair);
        let name_span = span_of(&name_pair);
        let gathers = words::GATHERING.contains(&name.as_ref());
        let node = match gather {
            Some(gather) => self.gathered(name, name_span, span, arguments, *gather),
            None if name.as_ref() == "count" && arguments.len() == 1 => match arguments.pop() {
                Some(Expr {
                    node: Node::Name(list),
                    span,
                }) => Node::Aggregate {
                    how: name,
                    how_span: name_span,
                    value: None,
                    list,
                    list_span: span,
                    along: None,
                    condition: None,
                },
                _ => {
                    self.fault(gathers_rows(name_span, &name));
                    Node::Bad
                }
            },
            None if gathers && !matches!(name.as_ref(), "largest" | "smallest") => {
                self.fault(gathers_rows(name_span, &name));
                Node::Bad
            }
            None => Node::Call {
                name,
                name_span,
                arguments,
            },
        };
        Expr { node, span }
    }

    fn gathered(&mut self, how: Name, how_span: Span, whole: Span, mut arguments: Vec<Expr>, gather: Gather) -> Node {
        let first = arguments.pop();
        let alone = arguments.is_empty();
        match (first, gather) {
            (
                Some(value),
                Gather {
                    variable: Some((variable, _)),
                    range: Some((from, to)),
                    along: None,
                    condition: None,
                },
            ) if how.as_ref() == "integral" && alone => Node::Integral {
                value: Box::new(value),
                variable,
                from: Box::new(from),
                to: Box::new(to),
            },
            (
                Some(value),
                Gather {
                    variable: Some((list, list_span)),
                    range: None,
                    along,
                    condition,
                },
            ) if words::GATHERING.contains(&how.as_ref())
                && alone
                && along.is_some() == words::SEEKING.contains(&how.as_ref()) =>
            {
                Node::Aggregate {
                    how,
                    how_span,
                    value: Some(Box::new(value)),
                    list,
                    list_span,
                    along: along.map(Box::new),
                    condition: condition.map(Box::new),
                }
            }
            (
                Some(Expr {
                    node: Node::Name(list),
                    span,
                }),
                Gather {
                    variable: None,
                    condition,
                    ..
                },
            ) if how.as_ref() == "count" && alone => Node::Aggregate {
                how,
                how_span,
                value: None,
                list,
                list_span: span,
                along: None,
                condition: condition.map(Box::new),
            },
            (_, gather) if words::SEEKING.contains(&how.as_ref()) || gather.along.is_some() => {
                self.fault(along_needed(&how, how_span.join(whole)));
                Node::Bad
            }
            _ => {
                self.fault(
                    Fault::new(
                        Code::EXPECTED,
                        how_span.join(whole),
                        format!("`{how}` cannot be used with `for` or `where` in this way"),
                    )
                    .help(
                        "write `sum(x for LIST where CONDITION)` (also mean, largest, smallest, only, first), \
                         `count(LIST where CONDITION)` or `integral(E for n from A to B)`",
                    ),
                );
                Node::Bad
            }
        }
    }

    fn gather(&mut self, pair: Pair<'_, Rule>) -> Gather {
        let mut variable = None;
        let mut values = Vec::new();
        let mut along = None;
        let mut where_seen = false;
        for part in pair.into_inner() {
            match part.as_rule() {
                Rule::name => variable = Some((name_of(&part), span_of(&part))),
                Rule::where_word => where_seen = true,
                Rule::value => self.value_into(part, &mut values),
                Rule::along => along = self.along(part),
                _ => {}
            }
        }
        gather_of(variable, values, along, where_seen)
    }

    /// `at x = value`: one equation, on its left a quantity of the rows.
    fn along(&mut self, pair: Pair<'_, Rule>) -> Option<(Expr, Expr)> {
        let span = span_of(&pair);
        let mut values = Vec::new();
        for part in pair.into_inner() {
            if part.as_rule() == Rule::value {
                self.value_into(part, &mut values);
            }
        }
        match values.pop().map(|value| value.node) {
            Some(Node::Compare(first, mut rest)) if matches!(rest.as_slice(), [(Comparison::Equal, _)]) => {
                rest.pop().map(|(_, wanted)| (*first, wanted))
            }
            Some(Node::Bad) => None,
            _ => {
                self.fault(
                    Fault::new(
                        Code::EXPECTED,
                        span,
                        "after `at` stands one equation: a quantity of the list and the value it is sought for",
                    )
                    .help("write `at P = 45 kW`; further conditions stand behind it: `at P = 45 kW where p = 4 pole`"),
                );
                None
            }
        }
    }
}

fn gather_of(
    variable: Option<(Name, Span)>,
    mut values: Vec<Expr>,
    along: Option<(Expr, Expr)>,
    where_seen: bool,
) -> Gather {
    let condition = if where_seen { values.pop() } else { None };
    let mut ends = values.into_iter();
    Gather {
        variable,
        range: ends.next().zip(ends.next()),
        along,
        condition,
    }
}

/// What stands behind `for`, `at` and `where`.
struct Gather {
    variable: Option<(Name, Span)>,
    range: Option<(Expr, Expr)>,
    along: Option<(Expr, Expr)>,
    condition: Option<Expr>,
}

/// The only value of a sequence, the usual case; kept apart so that deep brackets need little stack.
fn alone<'i>(sequence: &Pair<'i, Rule>) -> Option<Pair<'i, Rule>> {
    let mut items = sequence.clone().into_inner();
    let mut parts = items.next()?.into_inner();
    let value = parts.next()?;
    (value.as_rule() == Rule::value && parts.next().is_none() && items.next().is_none()).then_some(value)
}

fn next_operator(row: &mut Row<'_>) -> Option<(Rule, Level)> {
    let rule = row.peek()?.as_rule();
    Some((rule, precedence::level(rule)?))
}

fn joined(parts: Vec<Expr>, node: fn(Vec<Expr>) -> Node) -> Expr {
    let span = parts
        .iter()
        .map(|part| part.span)
        .reduce(Span::join)
        .unwrap_or_default();
    Expr {
        node: node(parts),
        span,
    }
}

fn choice(arms: Vec<(Expr, Expr)>, otherwise: Option<Box<Expr>>) -> Expr {
    let spans = arms.iter().map(|(value, condition)| value.span.join(condition.span));
    let span = spans
        .chain(otherwise.iter().map(|last| last.span))
        .reduce(Span::join)
        .unwrap_or_default();
    Expr {
        node: Node::Choice { arms, otherwise },
        span,
    }
}

/// The one form of a name.
pub(super) fn name_of(pair: &Pair<'_, Rule>) -> Name {
    Name::from(canonical_name(pair.as_str()).as_ref())
}

/// `²` as a number.
fn raised(mark: &Pair<'_, Rule>) -> Expr {
    let mut value = 0i64;
    let mut negative = false;
    for sign in mark.as_str().chars() {
        let digit = match sign {
            '⁻' => {
                negative = true;
                continue;
            }
            '¹' => 1,
            '²' => 2,
            '³' => 3,
            other => i64::from(other as u32) - i64::from('⁰' as u32),
        };
        value = value.saturating_mul(10).saturating_add(digit);
    }
    let value = Decimal::from(if negative { -value } else { value });
    Expr {
        node: Node::Number(Literal { value, unit: None }),
        span: span_of(mark),
    }
}

/// The number of plain digits with an exponent, exact; `None` where it has no place in a decimal.
pub(crate) fn decimal(text: &str) -> Option<Decimal> {
    if text.bytes().any(|byte| matches!(byte, b'e' | b'E')) {
        let text = text.replace(['−', '–'], "-");
        let (digits, exponent) = text.split_once(['e', 'E'])?;
        let exponent: i32 = exponent.parse().ok()?;
        let number = Decimal::from_str_exact(digits).ok()?;
        let scale = i64::from(number.scale()) - i64::from(exponent);
        if number.is_zero() {
            return Some(number);
        }
        return match u32::try_from(scale) {
            Ok(scale) if scale <= 28 => Decimal::try_from_i128_with_scale(number.mantissa(), scale).ok(),
            Ok(_) => None,
            Err(_) => {
                let mut mantissa = number.mantissa();
                for _ in scale..0 {
                    mantissa = mantissa.checked_mul(10)?;
                    if mantissa.unsigned_abs() > 1 << 96 {
                        return None;
                    }
                }
                Decimal::try_from_i128_with_scale(mantissa, 0).ok()
            }
        };
    }
    if text.len() > 28 {
        return Decimal::from_str_exact(text).ok();
    }
    Decimal::from_str(text).ok()
}

/// A text in quotes, as it is typed; the way back is [`unquoted`].
pub fn quoted(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 2);
    out.push('"');
    for letter in text.chars() {
        match letter {
            '"' => out.push_str("\\\""),
            '\\' => out.push_str("\\\\"),
            '\n' => out.push_str("\\n"),
            '\r' => {}
            other => out.push(other),
        }
    }
    out.push('"');
    out
}

/// A text without its quotes.
///
/// # Errors
/// `text-escape` for a backslash before anything but a quote sign, a backslash or an n.
pub fn unquoted(quoted: &str, span: Span) -> Result<String, Fault> {
    let inner = quoted
        .strip_prefix('"')
        .and_then(|rest| rest.strip_suffix('"'))
        .unwrap_or(quoted);
    let mut out = String::with_capacity(inner.len());
    let mut letters = inner.char_indices();
    while let Some((at, letter)) = letters.next() {
        if letter != '\\' {
            out.push(letter);
            continue;
        }
        match letters.next() {
            Some((_, 'n')) => out.push('\n'),
            Some((_, '"')) => out.push('"'),
            Some((_, '\\')) => out.push('\\'),
            other => {
                let start = span.start as usize + 1 + at;
                let found = other.map(|(_, letter)| letter).unwrap_or(' ');
                return Err(Fault::new(
                    Code::TEXT_ESCAPE,
                    Span::new(start, start + 1 + found.len_utf8()),
                    format!("`\\{found}` in a text means nothing here"),
                )
                .help("write `\\\\` for a backslash, `\\\"` for a quote sign, `\\n` for a new line"));
            }
        }
    }
    Ok(out)
}

fn operator_form(span: Span, found: &str, instead: &str) -> Fault {
    Fault::new(
        Code::OPERATOR_FORM,
        span,
        format!("`{found}` is written `{instead}` here"),
    )
    .help(format!("write `{instead}`"))
    .fix(format!("write {instead}"), span, instead)
}

/// The fault for a text that is not closed.
pub(super) fn unclosed_text(span: Span, text: &str) -> Fault {
    if text.starts_with('“') {
        return Fault::new(
            Code::UNCLOSED_TEXT,
            span,
            "text stands in straight quotes here, these are curly ones",
        )
        .help("write `\"…\"`")
        .fix(
            "straight quotes",
            span,
            format!("\"{}\"", text.trim_matches(['“', '”'])),
        );
    }
    Fault::new(
        Code::UNCLOSED_TEXT,
        span,
        "this text in quotes is not closed before the end of the line",
    )
    .help("put `\"` at its end; a quote sign inside a text is written `\\\"`")
}

fn number_size(span: Span, text: &str) -> Fault {
    let digits = text.split(['e', 'E']).next().unwrap_or("");
    let counted = digits.chars().filter(char::is_ascii_digit).count();
    if digits.len() < text.len() && counted <= 28 {
        return Fault::new(
            Code::NUMBER_SIZE,
            span,
            format!("`{text}` lies beyond the numbers that are kept: from 1e-28 to 7.9e28"),
        )
        .help("write it in a larger or smaller unit");
    }
    Fault::new(
        Code::NUMBER_SIZE,
        span,
        format!("`{text}` has more digits than can be kept: 28 in a number, 9 in raised digits"),
    )
    .help("write it with fewer digits or in a larger or smaller unit")
}

/// `among`: it stands in brackets, where values may be parted by commas.
fn number_form(span: Span, text: &str, among: bool) -> Fault {
    let odd = |message: String, readings: &[String], also: &str| {
        let written: Vec<String> = readings.iter().map(|number| format!("`{number}`")).collect();
        let mut fault = Fault::new(Code::NUMBER_FORM, span, message).help(match written.as_slice() {
            [] => "a number has one point at most".to_owned(),
            written => format!("write {}{also}", written.join(" or ")),
        });
        for number in readings {
            fault = fault.fix(format!("write {number}"), span, number.clone());
        }
        fault
    };
    let digits = || -> String { text.chars().filter(char::is_ascii_digit).collect() };
    let comma = text.rfind(',');
    let point = text.rfind('.');
    match (comma, point) {
        (Some(comma), Some(point)) => {
            // The last sign is the decimal one, whatever stands before it groups digits.
            let last = comma.max(point);
            let (whole, rest) = text.split_at_checked(last).unwrap_or((text, ""));
            let whole: String = whole.chars().filter(char::is_ascii_digit).collect();
            let number = format!("{whole}.{}", rest.trim_start_matches([',', '.']));
            odd(
                format!("`{text}` has a comma and a point; a number has a point alone, before its decimals"),
                &[number],
                "",
            )
        }
        (Some(_), None) => {
            let decimal = text.replacen(',', ".", 1);
            let listed = text.replace(',', ", ");
            let (_, groups) = text.split_once(',').unwrap_or((text, ""));
            let several = groups.contains(',');
            let grouped = groups.split(',').all(|group| group.len() == 3);
            let mut readings = Vec::new();
            if !several {
                readings.push(decimal);
            }
            // A nought in front is no group of thousands.
            if grouped && !text.starts_with('0') {
                readings.push(digits());
            }
            let words = match readings.as_slice() {
                [one] => format!("{one} or as the values {listed}"),
                [] => format!("the values {listed}"),
                several => several.join(" or as "),
            };
            if readings.is_empty() || among {
                readings.push(listed);
            }
            odd(format!("`{text}` can be read as {words}"), &readings, "")
        }
        _ if text.chars().any(|sign| !sign.is_ascii_digit() && sign != '.') => {
            let joined: String = text
                .chars()
                .filter(|sign| sign.is_ascii_digit() || *sign == '.')
                .collect();
            odd(
                format!("the digits of `{text}` are in groups; a number has nothing between its digits"),
                &[joined],
                "",
            )
        }
        _ if text.starts_with('.') => odd(
            format!("`{text}` has no digit before the point"),
            &[format!("0{text}")],
            "",
        ),
        _ => match text.strip_suffix('.') {
            Some(whole) => odd(
                format!("`{text}` has no digit after the point"),
                &[whole.to_owned()],
                &format!(" or `{whole}.0`"),
            ),
            None => {
                let groups = text.split('.').skip(1).all(|group| group.len() == 3);
                let readings: Vec<String> = groups.then(digits).into_iter().collect();
                odd(format!("`{text}` has more than one decimal point"), &readings, "")
            }
        },
    }
}

fn fraction(span: Span, text: &str) -> Fault {
    let digits_end = text.find('/').map_or(text.len(), |slash| {
        let rest = text.get(slash + 1..).unwrap_or("");
        slash + 1 + rest.find(|sign: char| !sign.is_ascii_digit()).unwrap_or(rest.len())
    });
    let (number, unit) = text.split_at_checked(digits_end).unwrap_or((text, ""));
    let named = unit.trim();
    if Unit::known(named).is_none() && !named.contains(['/', '·', '^']) {
        let write = format!("{number} * {named}");
        return Fault::new(
            Code::FRACTION,
            span,
            format!(
                "`{named}` is no unit, and between `{number}` and it stands no sign; nothing is multiplied silently"
            ),
        )
        .help(format!("write `{write}`"))
        .fix(format!("write {write}"), span, write);
    }
    let fault = Fault::new(
        Code::FRACTION,
        span,
        format!(
            "`{number}` before the unit `{}` is a fraction, which a formula does not take",
            unit.trim()
        ),
    );
    match as_decimal(number) {
        Some(value) => {
            let whole = format!("{}{unit}", value.normalize());
            fault
                .help(format!("write `{whole}`"))
                .fix(format!("write {whole}"), span, whole)
        }
        None => fault.help("write it as a decimal number with the unit behind it, or put blanks around the `/`"),
    }
}

/// `7-1/2` as 7.5, where that is exact to a few digits.
fn as_decimal(text: &str) -> Option<Decimal> {
    let (left, below) = text.split_once('/')?;
    let (whole, above) = match left.rsplit_once(|sign: char| !sign.is_ascii_digit()) {
        Some((whole, above)) => (whole.trim().parse::<u32>().ok()?, above),
        None => (0, left),
    };
    let (above, below) = (above.parse::<u32>().ok()?, below.parse::<u32>().ok()?);
    // 208-230/460 is no whole with a fraction.
    if whole > 0 && !is_fraction(above, below) {
        return None;
    }
    let value = Decimal::from(above).checked_div(Decimal::from(below))?;
    (value.scale() <= 8).then(|| Decimal::from(whole) + value)
}

fn along_needed(how: &str, span: Span) -> Fault {
    if words::SEEKING.contains(&how) {
        Fault::new(
            Code::EXPECTED,
            span,
            format!("`{how}` seeks a place along the rows of a list; it needs `for` and `at`"),
        )
        .help(format!("write `{how}(y for LIST at x = VALUE where CONDITION)`"))
    } else {
        Fault::new(
            Code::EXPECTED,
            span,
            format!("`at` seeks a place along the rows of a list; `{how}` does not"),
        )
        .help(format!(
            "write `where` for a condition: `{how}(y for LIST where x = VALUE)`; `at` goes with {}",
            words::SEEKING.join(", ")
        ))
    }
}

fn gathers_rows(span: Span, name: &str) -> Fault {
    let example = if name == "count" {
        "count(LIST where CONDITION)".to_owned()
    } else {
        format!("{name}(x for LIST where CONDITION)")
    };
    Fault::new(
        Code::GATHERS_ROWS,
        span,
        format!("`{name}` gathers the rows of a list, but no list is named"),
    )
    .help(format!(
        "write `{example}`; several values of one item are joined by `+`"
    ))
}
