//! One expression: every name bound, every dimension checked, every fault told once.

use crate::diagnostics::catalogue::names::{
    ArgumentsWrong, FunctionUnknown, ListForValue, ListMixed, NoValueHere, NotAList, NotAValue, UnknownName, UsedBeforeDefined,
    UsedInItself,
};
use crate::diagnostics::catalogue::slips::NameApart;
use crate::diagnostics::catalogue::units::{
    AngleNeeded, ExponentWrong, NotACount, PartsUnlike, QuantityMismatch, TemperaturePoint, UnitAmbiguous, UnitMalformed, UnitMismatch,
    UnitRemark, UnitUnknown,
};
use crate::diagnostics::{Finding, Label, Sink, nearest};
use crate::model::functions::{FUNCTIONS, Function, Given};
use crate::model::quantity::Quantity;
use crate::model::scope::{Found, Lookup};
use crate::model::tree::{Constant, Range, Shape, Tree, TreeForm};
use crate::model::{Model, counts, mends};
use crate::source::{Extent, Home, Span};
use crate::syntax::ast::{Comparison, Expression, Fold, Form, Name, Operator, Path, Running, Term, UnitText};
use crate::units::{Dimension, Nature, Unit, UnitFault};
use std::sync::Arc;

/// Reads expressions of one home in the light of what is known so far.
pub(super) struct Reader<'r> {
    pub(super) model: &'r Model,
    pub(super) lookup: Lookup<'r>,
    pub(super) home: Home,
    pub(super) sink: &'r mut Sink,
    /// The loops around the expression, outermost first: name, first and last value.
    pub(super) loops: Vec<(Arc<str>, i64, i64)>,
    /// Set when an expression asked for the rating a piece of gear does not state, and that is allowed.
    pub(super) missing_allowed: bool,
}

impl<'r> Reader<'r> {
    pub(super) fn new(model: &'r Model, lookup: Lookup<'r>, home: Home, sink: &'r mut Sink) -> Self {
        Reader { model, lookup, home, sink, loops: Vec::new(), missing_allowed: false }
    }

    fn span(&self, at: Extent) -> Span {
        self.home.span(at)
    }

    fn fault(&mut self, at: Extent, finding: &dyn Finding) -> Tree {
        let span = self.span(at);
        self.sink.push(span, finding);
        Tree::unknown(span)
    }

    /// A tree for `expression`; [`TreeForm::Unknown`] when it has a fault, which has then been put down.
    pub(super) fn read(&mut self, expression: &Expression) -> Tree {
        let span = self.span(expression.at);
        match &expression.form {
            Form::Quantity(terms) => self.quantity(terms, expression.at),
            Form::Name(path) => self.path(path),
            Form::Item { list, index } => self.item(list, index, expression.at),
            Form::List(items) => self.list(items, expression.at),
            Form::Negative(of) => {
                let tree = self.single(of);
                if tree.is_unknown() {
                    return Tree::unknown(span);
                }
                if tree.quantity.nature == Nature::TemperaturePoint {
                    return self.fault(of.at, &TemperaturePoint { verb: "negated".into() });
                }
                let quantity = tree.quantity;
                Tree { form: TreeForm::Negative(Box::new(tree)), span, quantity, shape: Shape::Single }
            }
            Form::Binary { operator, operator_at, left, right } => self.binary(*operator, *operator_at, left, right, expression.at),
            Form::Call { function, arguments } => self.call(function, arguments, expression.at),
            Form::Over { fold, body, running } => self.over(*fold, body, running, expression.at),
        }
    }

    /// Like [`Reader::read`], and one value is needed.
    pub(super) fn single(&mut self, expression: &Expression) -> Tree {
        let tree = self.read(expression);
        if tree.shape != Shape::Single && !tree.is_unknown() {
            let name = match &expression.form {
                Form::Name(path) => path.parts.iter().map(|part| part.text.as_str()).collect::<Vec<_>>().join("."),
                _ => "this".into(),
            };
            return self.fault(expression.at, &ListForValue { name });
        }
        tree
    }

    /// Both sides of a comparison, which must be the same sort of quantity.
    pub(super) fn comparison(&mut self, comparison: &Comparison) -> Option<(Tree, Tree)> {
        let left = self.single(&comparison.left);
        let right = self.single(&comparison.right);
        if left.is_unknown() || right.is_unknown() {
            return None;
        }
        let missing = matches!(left.form, TreeForm::Missing(_)) || matches!(right.form, TreeForm::Missing(_));
        if !missing && left.quantity.meets(right.quantity).is_none() {
            self.mismatch("compare", comparison.relation_at, &left, &right);
            return None;
        }
        Some((left, right))
    }

    /// A unit as typed.
    pub(super) fn unit(&mut self, text: &UnitText) -> Option<Unit> {
        let fault = match crate::units::parse(&text.text) {
            Ok(unit) => {
                if let Some(remark) = &unit.hint {
                    let span = self.span(text.at);
                    self.sink.push(span, &UnitRemark { unit: text.text.clone(), remark: remark.clone() });
                }
                return Some(unit);
            }
            Err(fault) => fault,
        };
        let within = |at: &std::ops::Range<usize>| Extent::new(text.at.start as usize + at.start, text.at.start as usize + at.end);
        match fault {
            UnitFault::Unknown { word, at, near } => {
                let is_name =
                    matches!(self.lookup.find(&[&word], self.model), Found::Entry(_) | Found::Pi) || self.in_loop(&word).is_some();
                let divided = at.start > 0 && text.text.as_bytes().get(at.start - 1) == Some(&b'/');
                self.fault(within(&at), &UnitUnknown { word, near, is_name, divided });
            }
            UnitFault::Ambiguous { spelling, at, candidates, reason } => {
                let candidates = candidates.into_iter().map(|candidate| (candidate.write, candidate.means)).collect();
                let is_name = matches!(self.lookup.find(&[&spelling], self.model), Found::Entry(_)) || self.in_loop(&spelling).is_some();
                self.fault(within(&at), &UnitAmbiguous { spelling, candidates, reason, is_name });
            }
            other => {
                let (reason, mend) = other.words();
                self.fault(text.at, &UnitMalformed { unit: text.text.clone(), reason, mend });
            }
        }
        None
    }

    fn in_loop(&self, name: &str) -> Option<usize> {
        self.loops.iter().rposition(|(index, ..)| **index == *name)
    }

    fn quantity(&mut self, terms: &[Term], at: Extent) -> Tree {
        let span = self.span(at);
        let mut parts: Vec<(String, Option<Unit>)> = Vec::with_capacity(terms.len());
        let mut si = 0.0;
        let mut quantity = Quantity::RATIO;
        for (place, term) in terms.iter().enumerate() {
            let unit = match &term.unit {
                None => None,
                Some(text) => match self.unit(text) {
                    Some(unit) => Some(unit),
                    None => return Tree::unknown(span),
                },
            };
            let this = unit.as_ref().map_or(Quantity::RATIO, |unit| Quantity { dimension: unit.dimension, nature: unit.nature });
            let (scale, offset) = unit.as_ref().map_or((1.0, 0.0), |unit| (unit.scale, unit.offset));
            if let Some((typed, None)) = parts.last() {
                return self.fault(term.at, &PartsUnlike { first: typed.clone(), second: term.typed.clone() });
            }
            if let Some((_, Some(before))) = parts.last() {
                let smaller = unit.as_ref().is_some_and(|unit| unit.scale < before.scale);
                if this != quantity || !smaller || place > 2 || offset != 0.0 {
                    let first = before.symbol.clone();
                    let second = unit.as_ref().map_or(term.typed.clone(), |unit| unit.symbol.clone());
                    return self.fault(term.at, &PartsUnlike { first, second });
                }
            }
            quantity = this;
            si += term.number * scale + offset;
            parts.push((term.typed.clone(), unit));
        }
        Tree { form: TreeForm::Constant(Constant { si, parts }), span, quantity, shape: Shape::Single }
    }

    fn path(&mut self, path: &Path) -> Tree {
        let span = self.span(path.at);
        if let [name] = path.parts.as_slice()
            && let Some(slot) = self.in_loop(&name.text)
        {
            let index = self.loops.get(slot).map_or_else(Arc::default, |(index, ..)| Arc::clone(index));
            return Tree { form: TreeForm::Variable(slot, index), span, quantity: Quantity::RATIO, shape: Shape::Single };
        }
        let found = match path.parts.as_slice() {
            [name] => self.lookup.find(&[&name.text], self.model),
            parts => self.lookup.find(&parts.iter().map(|part| part.text.as_str()).collect::<Vec<_>>(), self.model),
        };
        let whole = || path.parts.iter().map(|part| part.text.as_str()).collect::<Vec<_>>().join(".");
        match found {
            Found::Entry(id) => {
                let entry = self.model.entry(id);
                if entry.value.is_unknown() {
                    return Tree::unknown(span);
                }
                Tree::entry(id, entry.quantity, entry.shape, span)
            }
            Found::Pi => {
                let constant = Constant { si: std::f64::consts::PI, parts: vec![("π".into(), None)] };
                Tree { form: TreeForm::Constant(constant), span, quantity: Quantity::RATIO, shape: Shape::Single }
            }
            Found::Missing(what) if self.missing_allowed => {
                Tree { form: TreeForm::Missing(what), span, quantity: Quantity::RATIO, shape: Shape::Single }
            }
            Found::Missing(reason) | Found::Without(reason) => self.fault(path.at, &NoValueHere { name: whole(), reason }),
            Found::Quiet => Tree::unknown(span),
            Found::NotValue { what, members } => self.fault(path.at, &NotAValue { name: whole(), what, members }),
            Found::Unknown { part, near, of, later, itself } => {
                let at = path.parts.get(part).map_or(path.at, |part| part.at);
                let name = path.parts.get(part).map_or_else(whole, |part| part.text.clone());
                match later {
                    _ if itself => self.fault(at, &UsedInItself { name }),
                    Some(place) => {
                        let span = self.span(at);
                        let there = Label { span: place, text: "defined here".into() };
                        self.sink.push_with(span, &UsedBeforeDefined { name }, vec![there]);
                        Tree::unknown(span)
                    }
                    None => self.fault(at, &UnknownName { name, of, near }),
                }
            }
        }
    }

    fn item(&mut self, list: &Path, index: &Expression, at: Extent) -> Tree {
        let span = self.span(at);
        let tree = self.path(list);
        let place = self.single(index);
        if tree.is_unknown() || place.is_unknown() {
            return Tree::unknown(span);
        }
        let (TreeForm::Entry(id), Shape::List { .. }) = (&tree.form, tree.shape) else {
            let name = list.parts.iter().map(|part| part.text.as_str()).collect::<Vec<_>>().join(".");
            return self.fault(list.at, &NotAList { name });
        };
        if !place.quantity.is_number() {
            return self.fault(index.at, &NotACount { what: "an index".into() });
        }
        Tree { form: TreeForm::Item(*id, Box::new(place)), span, quantity: tree.quantity, shape: Shape::Single }
    }

    fn list(&mut self, items: &[Expression], at: Extent) -> Tree {
        let span = self.span(at);
        let trees: Vec<Tree> = items.iter().map(|item| self.single(item)).collect();
        if trees.iter().any(Tree::is_unknown) {
            return Tree::unknown(span);
        }
        let mut quantity = trees.first().map_or(Quantity::RATIO, |tree| tree.quantity);
        for (tree, item) in trees.iter().zip(items) {
            match quantity.meets(tree.quantity) {
                Some(common) => quantity = common,
                None => return self.fault(item.at, &ListMixed { first: quantity.name(), other: tree.quantity.name() }),
            }
        }
        let shape = Shape::List { first: 1, count: trees.len() };
        Tree { form: TreeForm::List(trees), span, quantity, shape }
    }

    fn binary(&mut self, operator: Operator, operator_at: Extent, left: &Expression, right: &Expression, at: Extent) -> Tree {
        let span = self.span(at);
        if operator == Operator::Subtract
            && let Some(whole) = self.dashed(left, operator_at, right)
        {
            return whole;
        }
        let a = self.single(left);
        let b = self.single(right);
        if a.is_unknown() || b.is_unknown() {
            return Tree::unknown(span);
        }
        let quantity = match operator {
            Operator::Add => match a.quantity.plus(b.quantity) {
                Some(quantity) => quantity,
                None => return self.mismatch("add", operator_at, &a, &b),
            },
            Operator::Subtract => match a.quantity.minus(b.quantity) {
                Some(quantity) => quantity,
                None => return self.mismatch("subtract", operator_at, &a, &b),
            },
            Operator::Multiply => match a.quantity.times(b.quantity) {
                Some(quantity) => quantity,
                None => return self.fault(operator_at, &TemperaturePoint { verb: "multiplied".into() }),
            },
            Operator::Divide => match a.quantity.over(b.quantity) {
                Some(quantity) => quantity,
                None => return self.fault(operator_at, &TemperaturePoint { verb: "divided".into() }),
            },
            Operator::Power => match self.power(&a, &b, right.at) {
                Some(quantity) => quantity,
                None => return Tree::unknown(span),
            },
        };
        Tree { form: TreeForm::Binary(operator, Box::new(a), Box::new(b)), span, quantity, shape: Shape::Single }
    }

    // `falls.hauling-part`: one name, written with a dash.
    fn dashed(&mut self, left: &Expression, dash: Extent, right: &Expression) -> Option<Tree> {
        let (Form::Name(left), Form::Name(right)) = (&left.form, &right.form) else { return None };
        let close = left.at.end == dash.start && dash.end == right.at.start;
        let [second] = right.parts.as_slice() else { return None };
        if !close || !matches!(self.find(left), Found::Unknown { .. }) {
            return None;
        }
        let mut parts: Vec<String> = left.parts.iter().map(|part| part.text.clone()).collect();
        let last = parts.last_mut()?;
        let found = format!("{last}-{}", second.text);
        *last = format!("{last}_{}", second.text);
        let mended = last.clone();
        let parts: Vec<&str> = parts.iter().map(String::as_str).collect();
        let known = matches!(self.lookup.find(&parts, self.model), Found::Entry(_) | Found::Without(_) | Found::Missing(_));
        let start = left.parts.last().map_or(left.at.start, |part| part.at.start);
        known.then(|| self.fault(Extent::new(start as usize, right.at.end as usize), &NameApart { found, mended }))
    }

    fn find(&self, path: &Path) -> Found {
        self.lookup.find(&path.parts.iter().map(|part| part.text.as_str()).collect::<Vec<_>>(), self.model)
    }

    fn power(&mut self, base: &Tree, exponent: &Tree, at: Extent) -> Option<Quantity> {
        if !exponent.quantity.is_number() {
            self.fault(at, &ExponentWrong { found: format!("this is a quantity of {}", exponent.quantity.name()) });
            return None;
        }
        if base.quantity.is_number() {
            return Some(Quantity::RATIO);
        }
        // A base with a dimension needs an exponent that is known beforehand: a whole number, or a simple fraction.
        let loops: Vec<i64> = Vec::new();
        let fraction = match &exponent.form {
            TreeForm::Binary(Operator::Divide, over, under) => {
                counts::whole(over, self.model, &loops).zip(counts::whole(under, self.model, &loops))
            }
            TreeForm::Constant(constant) => small_fraction(constant.si),
            _ => counts::whole(exponent, self.model, &loops).map(|whole| (whole, 1)),
        };
        let quantity = fraction.and_then(|(over, under)| base.quantity.power(i32::try_from(over).ok()?, i32::try_from(under).ok()?));
        if quantity.is_none() {
            let found = format!("the base is {}, so the exponent must be a fixed whole number or simple fraction", base.quantity.name());
            self.fault(at, &ExponentWrong { found });
        }
        quantity
    }

    fn call(&mut self, name: &Name, arguments: &[Expression], at: Extent) -> Tree {
        let span = self.span(at);
        if let Some(law) = self.lookup.law(&name.text) {
            return self.at_load(law, &name.text, arguments, at);
        }
        let Some((_, function, given, _)) = FUNCTIONS.iter().find(|(word, ..)| *word == name.text) else {
            if matches!(self.lookup.find(&[&name.text], self.model), Found::Quiet) {
                return Tree::unknown(span);
            }
            let near = nearest(&name.text, FUNCTIONS.iter().map(|(word, ..)| *word)).into_iter().map(String::from).collect();
            let is_name = matches!(self.lookup.find(&[&name.text], self.model), Found::Entry(_));
            return self.fault(name.at, &FunctionUnknown { name: name.text.clone(), near, is_name });
        };
        let trees: Vec<Tree> = arguments.iter().map(|argument| self.read(argument)).collect();
        if trees.iter().any(Tree::is_unknown) {
            return Tree::unknown(span);
        }
        let takes = match given {
            Given::List => "one list",
            Given::Several => "one list, or two or more values",
            Given::Vectors => "a list of forces and a list of as many directions",
            Given::Table => "one value, the list of a table's rows and a list of as many values",
            _ => "one value",
        };
        let lists = trees.iter().filter(|tree| tree.shape != Shape::Single).count();
        let length = |at: usize| match trees.get(at).map(|tree| tree.shape) {
            Some(Shape::List { count, .. }) if count > 0 => Some(count),
            _ => None,
        };
        let fits = match given {
            Given::List => lists == 1 && trees.len() == 1,
            Given::Several => (lists == 1 && trees.len() == 1) || (lists == 0 && trees.len() >= 2),
            Given::Vectors => trees.len() == 2 && length(0).is_some() && length(0) == length(1),
            Given::Table => trees.len() == 3 && lists == 2 && length(1).is_some() && length(1) == length(2),
            _ => lists == 0 && trees.len() == 1,
        };
        if !fits {
            let found = match (trees.len(), lists) {
                (0, _) => "nothing".into(),
                (1, 0) => "one value".into(),
                (1, _) => "a list".into(),
                (2, 2) | (3, 2) if matches!(given, Given::Vectors | Given::Table) => "lists of different length".into(),
                (count, 0) => format!("{count} values"),
                (count, _) => format!("{count} values, some of them lists"),
            };
            return self.fault(at, &ArgumentsWrong { function: name.text.clone(), takes: takes.into(), found });
        }
        self.apply(*function, *given, &name.text, trees, arguments, at)
    }

    fn apply(&mut self, function: Function, given: Given, word: &str, trees: Vec<Tree>, arguments: &[Expression], at: Extent) -> Tree {
        let span = self.span(at);
        let Some((first, first_at)) = trees.first().zip(arguments.first().map(|argument| argument.at)) else { return Tree::unknown(span) };
        let found = first.quantity;
        let wanted_by = format!("`{word}`");
        let wrong = |expected: &str, mend: Option<String>| QuantityMismatch {
            wanted_by: format!("what `{word}` is given"),
            expected: expected.into(),
            found: found.name(),
            mend,
        };
        match given {
            Given::Angle if found != Quantity::ANGLE => return self.fault(first_at, &AngleNeeded { wanted_by, found: found.name() }),
            Given::Number if !found.is_number() => return self.fault(first_at, &wrong("ratio", None)),
            Given::NumberOrAngle if !found.is_number() && found != Quantity::ANGLE => return self.fault(first_at, &wrong("ratio", None)),
            Given::Mass if found != Quantity::MASS => return self.fault(first_at, &wrong("mass", weighed(found, word, "96 kg"))),
            Given::Force if found != Quantity::FORCE => return self.fault(first_at, &wrong("force", weighed(found, word, "940 N"))),
            _ => {}
        }
        if matches!(given, Given::Vectors | Given::Table) {
            return self.with_lists(function, given, word, trees, arguments, span);
        }
        let mut quantity = found;
        for (tree, argument) in trees.iter().zip(arguments).skip(1) {
            match quantity.meets(tree.quantity) {
                Some(common) => quantity = common,
                None => return self.mismatch("compare", argument.at, first, tree),
            }
        }
        if function == Function::Product && !quantity.is_number() {
            return self.fault(first_at, &wrong("ratio", None));
        }
        if matches!(function, Function::Weight | Function::Mass) {
            return self.weigh(function, trees, span);
        }
        let Some(quantity) = function.of(quantity) else {
            return self.fault(at, &ExponentWrong { found: format!("{} has no such root", found.name()) });
        };
        Tree { form: TreeForm::Call(function, trees), span, quantity, shape: Shape::Single }
    }

    // Directions have to be angles; what is looked up in a table has to be like its rows.
    fn with_lists(&mut self, function: Function, given: Given, word: &str, trees: Vec<Tree>, arguments: &[Expression], span: Span) -> Tree {
        let (Some(first), Some(second), Some(at)) = (trees.first(), trees.get(1), arguments.get(1).map(|argument| argument.at)) else {
            return Tree::unknown(span);
        };
        if given == Given::Vectors && second.quantity != Quantity::ANGLE {
            let finding = AngleNeeded { wanted_by: format!("every direction of `{word}`"), found: second.quantity.name() };
            return self.fault(at, &finding);
        }
        if given == Given::Table && first.quantity.meets(second.quantity).is_none() {
            return self.mismatch("compare", at, first, second);
        }
        let of = if given == Given::Table { trees.get(2).map(|tree| tree.quantity) } else { Some(first.quantity) };
        let Some(quantity) = of.and_then(|of| function.of(of)) else { return Tree::unknown(span) };
        Tree { form: TreeForm::Call(function, trees), span, quantity, shape: Shape::Single }
    }

    // Weight is mass times the sheet's gravity, written out, so that the working shows which gravity was used.
    fn weigh(&mut self, function: Function, trees: Vec<Tree>, span: Span) -> Tree {
        let (Some(gravity), Some(of)) = (self.lookup.gravity(), trees.into_iter().next()) else { return Tree::unknown(span) };
        let gravity = Tree::entry(gravity, Quantity::ACCELERATION, Shape::Single, span);
        let (operator, quantity) =
            if function == Function::Weight { (Operator::Multiply, Quantity::FORCE) } else { (Operator::Divide, Quantity::MASS) };
        Tree { form: TreeForm::Binary(operator, Box::new(of), Box::new(gravity)), span, quantity, shape: Shape::Single }
    }

    /// What an index runs over.
    pub(super) fn range(&mut self, running: &Running) -> Option<Range> {
        let first_written = self.single(&running.from);
        let last_written = self.single(&running.to);
        if first_written.is_unknown() || last_written.is_unknown() {
            return None;
        }
        // Inside another loop the ends may move with its index; whether they are whole shows at its first value.
        let outer: Vec<i64> = self.loops.iter().map(|(_, first, _)| *first).collect();
        let mut bound = |tree: &Tree, at: Extent| {
            let whole = counts::whole(tree, self.model, &outer);
            if whole.is_none() {
                self.sink.push(self.home.span(at), &NotACount { what: format!("where `{}` starts and ends", running.index.text) });
            }
            whole
        };
        let first = bound(&first_written, running.from.at)?;
        let last = bound(&last_written, running.to.at)?;
        if last - first > 10_000 {
            let what = format!("`{}` runs over {} items; it", running.index.text, last - first + 1);
            self.sink.push(self.home.span(running.to.at), &NotACount { what });
            return None;
        }
        Some(Range {
            name: running.index.text.as_str().into(),
            slot: self.loops.len(),
            first,
            last,
            first_written: Box::new(first_written),
            last_written: Box::new(last_written),
        })
    }

    fn over(&mut self, fold: Fold, body: &Expression, running: &Running, at: Extent) -> Tree {
        let span = self.span(at);
        let Some(range) = self.range(running) else { return Tree::unknown(span) };
        self.loops.push((Arc::clone(&range.name), range.first, range.last));
        let tree = self.single(body);
        self.loops.pop();
        if tree.is_unknown() {
            return Tree::unknown(span);
        }
        let quantity = match fold {
            Fold::Sum => tree.quantity,
            Fold::Product if tree.quantity.is_number() => Quantity::RATIO,
            Fold::Product => {
                let found = tree.quantity.name();
                return self.fault(
                    body.at,
                    &QuantityMismatch { wanted_by: "what `product` is given".into(), expected: "ratio".into(), found, mend: None },
                );
            }
        };
        Tree { form: TreeForm::Over { fold, body: Box::new(tree), range: Box::new(range) }, span, quantity, shape: Shape::Single }
    }

    pub(super) fn mismatch(&mut self, verb: &str, at: Extent, left: &Tree, right: &Tree) -> Tree {
        let mass_to_force = |mass: &Tree, force: &Tree| {
            (mass.quantity == Quantity::MASS && force.quantity == Quantity::FORCE).then(|| mends::weighed(mass, self.model))
        };
        let angle = |one: &Tree, other: &Tree| {
            (one.quantity == Quantity::ANGLE && other.quantity.is_number())
                .then(|| "give the number a unit of angle, as in `30 deg` or `0.5 rad`".to_string())
        };
        let zero = |one: &Tree, other: &Tree| match &one.form {
            TreeForm::Constant(constant) if constant.si == 0.0 && one.quantity.is_number() => {
                crate::units::for_reader(1.0, other.quantity.dimension, other.quantity.nature, false)
                    .map(|unit| format!("write `0 {}`", unit.symbol))
            }
            _ => None,
        };
        let bare = |one: &Tree| match &one.form {
            TreeForm::Constant(constant) => constant.parts.iter().all(|(_, unit)| unit.is_none()),
            _ => false,
        };
        let range = || {
            let constant = matches!(right.form, TreeForm::Constant(_)) && !right.quantity.is_number();
            (verb == "subtract" && bare(left) && constant)
                .then(|| "to state a range, write its middle and half its width, as in `96 kg ± 2 kg`".to_string())
        };
        let unitless = |one: &Tree, other: &Tree| {
            let unit = crate::units::for_reader(1.0, other.quantity.dimension, other.quantity.nature, false)?;
            let number = one.quantity.is_number() && bare(one);
            number.then(|| format!("give the number a unit of {}, such as `{}`", other.quantity.name(), unit.symbol))
        };
        let mend = mass_to_force(left, right)
            .or_else(|| mass_to_force(right, left))
            .or_else(|| angle(left, right))
            .or_else(|| angle(right, left))
            .or_else(|| zero(left, right))
            .or_else(|| zero(right, left))
            .or_else(range)
            .or_else(|| unitless(left, right))
            .or_else(|| unitless(right, left));
        let finding = UnitMismatch { verb: verb.into(), left: left.quantity.name(), right: right.quantity.name(), mend };
        let labels = [left, right].map(|side| Label {
            span: side.span,
            text: if side.quantity.is_number() { "plain number".into() } else { side.quantity.name() },
        });
        let span = self.span(at);
        self.sink.push_with(span, &finding, labels.to_vec());
        Tree::unknown(span)
    }
}

/// The words for a quantity that is not the one needed, with the mend where there is one.
pub(super) fn unfit(wanted_by: &str, expected: Quantity, found: &Tree) -> Box<dyn Finding> {
    if expected == Quantity::ANGLE && found.quantity.dimension == Dimension::NONE {
        return Box::new(AngleNeeded { wanted_by: wanted_by.into(), found: found.quantity.name() });
    }
    let zero =
        matches!(&found.form, TreeForm::Constant(constant) if constant.si == 0.0 && constant.parts.iter().all(|(_, unit)| unit.is_none()));
    let mend = if expected == Quantity::FORCE && found.quantity == Quantity::MASS {
        Some("write `weight(...)` round the mass, or state the force in N, kN or lbf".into())
    } else if expected == Quantity::MASS && found.quantity == Quantity::FORCE {
        Some("write `mass(...)` round the force, or state the mass in kg or lb".into())
    } else if zero {
        let unit = crate::units::for_reader(1.0, expected.dimension, expected.nature, false);
        unit.map(|unit| format!("write `0 {}`", unit.symbol))
    } else if found.quantity.is_number() {
        let unit = crate::units::for_reader(1.0, expected.dimension, expected.nature, false);
        unit.map(|unit| format!("give the number a unit of {} where it is stated, such as `{}`", expected.name(), unit.symbol))
    } else {
        None
    };
    Box::new(QuantityMismatch { wanted_by: wanted_by.into(), expected: expected.name(), found: found.quantity.name(), mend })
}

// What to do about what `weight` or `mass` is given.
fn weighed(found: Quantity, word: &str, example: &str) -> Option<String> {
    if found.is_number() {
        return Some(format!("give the number a unit where it is stated, as in `{example}`"));
    }
    let already = if word == "weight" { Quantity::FORCE } else { Quantity::MASS };
    (found == already).then(|| format!("leave `{word}` out: this is a {} already", found.name()))
}

// `0.5` as (1, 2): the exponents that keep a dimension whole.
fn small_fraction(value: f64) -> Option<(i64, i64)> {
    [1_i64, 2, 3, 4, 6].into_iter().find_map(|under| {
        let over = value * under as f64;
        (over == libm::round(over) && over.abs() < 100.0).then_some((over as i64, under))
    })
}
