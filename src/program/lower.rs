//! A model laid flat: every expression as a run of operations, loops unrolled, doubts as sources of their own.

use crate::diagnostics::Sink;
use crate::diagnostics::catalogue::names::IndexOutside;
use crate::model::counts;
use crate::model::functions::Function;
use crate::model::studies::{Asks, Step, Study, Trials};
use crate::model::tree::{Range, Shape, Tree, TreeForm};
use crate::model::{Entry, Model};
use crate::program::fits::{FitPlace, LawUsed};
use crate::program::laws::LawPlaces;
use crate::program::operations::Operation;
use crate::syntax::ast::{Fold, Meaning, Operator};

/// A source of doubt.
#[derive(Debug, Clone, PartialEq)]
pub struct Source {
    /// The entry whose doubt it is, by its place in the model.
    pub entry: usize,
    /// Which of the doubts of that entry.
    pub doubt: usize,
    /// The operation whose value is the stated amount, in SI units; for repeats, that of each reading.
    pub amounts: Vec<usize>,
    /// The operation whose value the amount is a share of, when it is stated that way.
    pub of: Option<usize>,
    /// What the amount means.
    pub meaning: Meaning,
    /// Its degrees of freedom; endless when there are none.
    pub degrees: Option<f64>,
    /// The estimate of variance it rests on, when others rest on the same.
    pub pool: Option<usize>,
}

/// A table that something is looked up in. Whether that stands in the table shows only when it is run.
#[derive(Debug, Clone, PartialEq)]
pub struct TablePlace {
    /// The entry that looks it up, by its place in the model; past the last for a check or an inline value.
    pub entry: usize,
    /// Where what is looked up is written.
    pub span: crate::source::Span,
    /// What it is a quantity of.
    pub quantity: crate::model::quantity::Quantity,
    /// How it is looked up.
    pub function: Function,
    /// The operation that holds what is looked up.
    pub x: usize,
    /// The operations that hold the rows.
    pub rows: Vec<usize>,
}

/// A load that is worked out from what is known.
#[derive(Debug, Clone, PartialEq)]
pub struct SoughtPlace {
    /// Its place in [`Model::sought`].
    pub at: usize,
    /// The operation that holds the load.
    pub place: usize,
    /// The operation that has to come to the known value; always further down.
    pub target: Option<usize>,
    /// The operation that holds the known value; always further up.
    pub known: usize,
}

/// Where the values that a study asks for are found; none where something cannot be worked.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct StudyPlaces {
    /// Results.
    pub results: Vec<Option<usize>>,
    /// Demand and capacity of each thing that must hold.
    pub demands: Vec<(Option<usize>, Option<usize>)>,
    /// The items of its list, or the ends of its range and its step.
    pub trials: Vec<Option<usize>>,
}

/// The flat list, and where each value of the model is found in it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Program {
    /// The operations; operands are always earlier.
    pub operations: Vec<Operation>,
    /// For each entry, the operations that hold its items (one for a single value). Empty when it cannot be worked.
    pub entries: Vec<Vec<usize>>,
    /// For each entry, whether it can be worked.
    pub workable: Vec<bool>,
    /// Sources of doubt.
    pub sources: Vec<Source>,
    /// For each correlation, the operation that holds its coefficient.
    pub correlations: Vec<Option<usize>>,
    /// Loads that are sought, from top to bottom.
    pub sought: Vec<SoughtPlace>,
    /// Tables that something is looked up in.
    pub tables: Vec<TablePlace>,
    /// Lines through readings.
    pub fits: Vec<FitPlace>,
    /// For each law, where its parts are found; none where it cannot be worked.
    pub laws: Vec<Option<LawPlaces>>,
    /// Uses of a law at a load.
    pub laws_used: Vec<LawUsed>,
    /// For each agreement, what was predicted and what was measured.
    pub agreements: Vec<(Option<usize>, Option<usize>)>,
    /// For each check, demand and capacity.
    pub checks: Vec<(Option<usize>, Option<usize>)>,
    /// For each machine at work, both sides of each condition.
    pub conditions: Vec<Vec<Option<(usize, usize)>>>,
    /// For each study, what it asks for and where it is tried.
    pub studies: Vec<StudyPlaces>,
    /// For each exercise, its answer and then its steps.
    pub exercises: Vec<Vec<Option<usize>>>,
    /// For each statement of draws, its results.
    pub propagations: Vec<Vec<Option<usize>>>,
    /// For each inline value, by fragment.
    pub inlines: Vec<(u32, Option<usize>)>,
}

/// Lays `model` flat.
pub(super) fn lower(model: &Model, sink: &mut Sink) -> Program {
    let mut lowering = Lowering { program: Program::default(), model, sink };
    for (at, entry) in model.entries.iter().enumerate() {
        lowering.entry(at, entry);
    }
    for correlation in &model.correlations {
        let place = lowering.tree(&correlation.value, &mut Vec::new());
        lowering.program.correlations.push(place);
    }
    for at in 0..lowering.program.sought.len() {
        let target =
            lowering.program.sought.get(at).and_then(|sought| model.sought.get(sought.at)).and_then(|sought| sought.target.as_ref());
        // The target is an entry or an item of one, so nothing is laid down after it.
        let place = target.and_then(|target| lowering.tree(target, &mut Vec::new()));
        if let Some(sought) = lowering.program.sought.get_mut(at) {
            sought.target = place;
        }
    }
    for check in &model.checks {
        let demand = lowering.tree(check.demand(), &mut Vec::new());
        let capacity = lowering.tree(check.capacity(), &mut Vec::new());
        lowering.program.checks.push((demand, capacity));
    }
    lowering.program.laws = model.laws.iter().map(|law| LawPlaces::of(law, &lowering.program)).collect();
    for agreement in &model.agreements {
        let places = (lowering.tree(&agreement.predicted, &mut Vec::new()), lowering.tree(&agreement.measured, &mut Vec::new()));
        lowering.program.agreements.push(places);
    }
    for instance in &model.instances {
        let sides = instance.conditions.iter().map(|condition| {
            let left = lowering.tree(&condition.left, &mut Vec::new());
            left.zip(lowering.tree(&condition.right, &mut Vec::new()))
        });
        let sides = sides.collect();
        lowering.program.conditions.push(sides);
    }
    for study in &model.studies {
        let places = lowering.study(study);
        lowering.program.studies.push(places);
    }
    for propagation in &model.propagations {
        let places = propagation.results.iter().map(|result| lowering.tree(&result.value, &mut Vec::new())).collect();
        lowering.program.propagations.push(places);
    }
    for exercise in &model.exercises {
        let results = std::iter::once(&exercise.asked).chain(&exercise.steps);
        let places = results.map(|result| lowering.tree(&result.value, &mut Vec::new())).collect();
        lowering.program.exercises.push(places);
    }
    for (fragment, inline) in &model.inlines {
        let place = lowering.tree(&inline.value, &mut Vec::new());
        lowering.program.inlines.push((*fragment, place));
    }
    lowering.program
}

pub(super) struct Lowering<'l> {
    pub(super) program: Program,
    pub(super) model: &'l Model,
    sink: &'l mut Sink,
}

impl Lowering<'_> {
    pub(super) fn push(&mut self, operation: Operation) -> usize {
        self.program.operations.push(operation);
        self.program.operations.len() - 1
    }

    fn entry(&mut self, at: usize, entry: &Entry) {
        let mut places: Option<Vec<usize>> = match &entry.index {
            Some(range) => (range.first..=range.last).map(|index| self.tree(&entry.value, &mut vec![index])).collect(),
            None => self.items(&entry.value, &mut Vec::new()),
        };
        // A share of the value is a share of what was stated, whatever other doubts there are.
        let stated = places.clone().filter(|_| !entry.doubts.is_empty()).unwrap_or_default();
        for (number, doubt) in entry.doubts.iter().enumerate() {
            let Some(found) = &mut places else { break };
            let Some(amounts) = self.items(&doubt.amount, &mut Vec::new()) else { continue };
            for (place, of) in found.iter_mut().zip(&stated) {
                let source = Source {
                    entry: at,
                    doubt: number,
                    amounts: amounts.clone(),
                    of: doubt.of_value.then_some(*of),
                    meaning: doubt.meaning,
                    degrees: doubt.degrees,
                    pool: doubt.pool,
                };
                self.program.sources.push(source);
                let shift = self.push(Operation::Doubt(self.program.sources.len() - 1));
                *place = self.push(Operation::Add(*place, shift));
            }
        }
        self.program.workable.push(places.is_some());
        self.program.entries.push(places.unwrap_or_default());
    }

    fn study(&mut self, study: &Study) -> StudyPlaces {
        let mut places = StudyPlaces::default();
        match &study.trials {
            None => {}
            Some(Trials::Listed(list)) => match self.items(list, &mut Vec::new()) {
                Some(items) => places.trials = items.into_iter().map(Some).collect(),
                None => places.trials.push(None),
            },
            Some(Trials::Between { from, to, step }) => {
                let by = match step {
                    Some(Step::By(by)) => Some(by),
                    Some(Step::In(..)) | None => None,
                };
                places.trials = [from, to].into_iter().chain(by).map(|tree| self.tree(tree, &mut Vec::new())).collect();
            }
        }
        match &study.asks {
            Asks::Results(results) => {
                places.results = results.iter().map(|result| self.tree(&result.value, &mut Vec::new())).collect();
            }
            Asks::Holds { demands, .. } => {
                for demand in demands {
                    let sides = (self.tree(demand.demand(), &mut Vec::new()), self.tree(demand.capacity(), &mut Vec::new()));
                    places.demands.push(sides);
                }
            }
        }
        places
    }

    // All items of a tree that may be a list.
    pub(super) fn items(&mut self, tree: &Tree, loops: &mut Vec<i64>) -> Option<Vec<usize>> {
        match (&tree.form, tree.shape) {
            (_, Shape::Single) => Some(vec![self.tree(tree, loops)?]),
            (TreeForm::List(items), _) => items.iter().map(|item| self.tree(item, loops)).collect(),
            (TreeForm::Entry(id), _) => {
                let workable = self.program.workable.get(id.0).copied().unwrap_or(false);
                workable.then(|| self.program.entries.get(id.0).cloned()).flatten()
            }
            _ => None,
        }
    }

    pub(super) fn tree(&mut self, tree: &Tree, loops: &mut Vec<i64>) -> Option<usize> {
        match &tree.form {
            TreeForm::Unknown | TreeForm::Missing(_) | TreeForm::List(_) => None,
            TreeForm::Sought(at) => self.sought(*at),
            TreeForm::Constant(constant) => Some(self.push(Operation::Constant(constant.si))),
            TreeForm::Entry(id) => self.program.entries.get(id.0)?.first().copied(),
            TreeForm::Item(id, index) => self.item(tree, *id, index, loops),
            TreeForm::Variable(slot, _) => {
                let index = loops.get(*slot).copied()?;
                Some(self.push(Operation::Constant(index as f64)))
            }
            TreeForm::Negative(of) => {
                let of = self.tree(of, loops)?;
                Some(self.push(Operation::Negate(of)))
            }
            TreeForm::Binary(operator, left, right) => {
                let left = self.tree(left, loops)?;
                let right = self.tree(right, loops)?;
                Some(self.push(match operator {
                    Operator::Add => Operation::Add(left, right),
                    Operator::Subtract => Operation::Subtract(left, right),
                    Operator::Multiply => Operation::Multiply(left, right),
                    Operator::Divide => Operation::Divide(left, right),
                    Operator::Power => Operation::Power(left, right),
                }))
            }
            TreeForm::Call(function, arguments) => self.call(*function, arguments, loops),
            TreeForm::Over { fold, body, range } => self.over(*fold, body, range, loops),
        }
    }

    // A load that is not known yet: what it has to meet comes further down and is joined to it at the end.
    fn sought(&mut self, at: usize) -> Option<usize> {
        let sought = self.model.sought.get(at)?;
        sought.target.as_ref()?;
        let known = *self.program.entries.get(sought.known.0)?.first()?;
        let place = self.push(Operation::Sought(self.program.sought.len()));
        self.program.sought.push(SoughtPlace { at, place, target: None, known });
        Some(place)
    }

    fn item(&mut self, tree: &Tree, id: crate::model::tree::EntryId, index: &Tree, loops: &mut Vec<i64>) -> Option<usize> {
        let entry = self.model.entry(id);
        let Shape::List { first, count } = entry.shape else { return None };
        let place = self.tree(index, loops)?;
        // An index is a whole number made of counts; its value is known as soon as it is laid flat.
        let value = self.fixed(place)?;
        let whole = value == libm::trunc(value);
        let at = value as i64 - first;
        match usize::try_from(at).ok().filter(|at| whole && *at < count) {
            Some(at) => self.program.entries.get(id.0)?.get(at).copied(),
            None => {
                let last = first + i64::try_from(count).unwrap_or(0) - 1;
                self.sink.push(tree.span, &IndexOutside { list: entry.local.clone(), index: format!("{value}"), first, last });
                None
            }
        }
    }

    // The value of an operation that rests on constants alone.
    fn fixed(&self, place: usize) -> Option<f64> {
        let operation = *self.program.operations.get(place)?;
        if let Operation::Doubt(_) | Operation::Sought(_) | Operation::Fitted(..) = operation {
            return None;
        }
        let mut known = Vec::new();
        for operand in crate::program::operations::operands(operation).into_iter().flatten() {
            known.push((operand, self.fixed(operand)?));
        }
        Some(crate::program::operations::value(operation, |at| {
            known.iter().find(|(operand, _)| *operand == at).map_or(f64::NAN, |(_, value)| *value)
        }))
    }

    fn call(&mut self, function: Function, arguments: &[Tree], loops: &mut Vec<i64>) -> Option<usize> {
        let first = arguments.first()?;
        match function {
            Function::Line { both, part } => return self.line(both, part, first, arguments.get(1)?),
            Function::AtLoad(law) => return self.at_load(law, arguments, loops),
            _ => {}
        }
        if matches!(function, Function::Sum | Function::Product | Function::Min | Function::Max | Function::Count) {
            let items = match first.shape {
                Shape::List { .. } => self.items(first, loops)?,
                Shape::Single => arguments.iter().map(|argument| self.tree(argument, loops)).collect::<Option<Vec<_>>>()?,
            };
            return match function {
                Function::Sum => Some(self.fold(&items, 0.0, Operation::Add)),
                Function::Product => Some(self.fold(&items, 1.0, Operation::Multiply)),
                Function::Count => Some(self.push(Operation::Constant(items.len() as f64))),
                Function::Min => items.into_iter().reduce(|a, b| self.push(Operation::Min(a, b))),
                _ => items.into_iter().reduce(|a, b| self.push(Operation::Max(a, b))),
            };
        }
        if matches!(function, Function::Resultant | Function::Direction) {
            return self.vector(function, first, arguments.get(1)?, loops);
        }
        if matches!(function, Function::Interpolated | Function::Stepped | Function::Tabled) {
            return self.table(function, first, arguments.get(1)?, arguments.get(2)?, loops);
        }
        let a = self.tree(first, loops)?;
        Some(self.push(match function {
            Function::Sqrt => Operation::Sqrt(a),
            Function::Abs => Operation::Abs(a),
            Function::Exp => Operation::Exp(a),
            Function::Ln => Operation::Ln(a),
            Function::Sin => Operation::Sin(a),
            Function::Cos => Operation::Cos(a),
            Function::Tan => Operation::Tan(a),
            Function::Asin => Operation::Asin(a),
            Function::Acos => Operation::Acos(a),
            Function::Atan => Operation::Atan(a),
            // Weight and mass were written out as products with the gravity; the folds are above.
            Function::Resultant | Function::Direction | Function::Interpolated | Function::Stepped | Function::Tabled => return None,
            Function::Line { .. } | Function::AtLoad(_) => return None,
            Function::Weight | Function::Mass | Function::Sum | Function::Product | Function::Min | Function::Max | Function::Count => {
                return None;
            }
        }))
    }

    // Forces resolved along two axes and added.
    fn vector(&mut self, function: Function, forces: &Tree, angles: &Tree, loops: &mut Vec<i64>) -> Option<usize> {
        let forces = self.items(forces, loops)?;
        let angles = self.items(angles, loops)?;
        let mut along = Vec::new();
        let mut across = Vec::new();
        for (force, angle) in forces.into_iter().zip(angles) {
            let (cos, sin) = (self.push(Operation::Cos(angle)), self.push(Operation::Sin(angle)));
            along.push(self.push(Operation::Multiply(force, cos)));
            across.push(self.push(Operation::Multiply(force, sin)));
        }
        let along = self.fold(&along, 0.0, Operation::Add);
        let across = self.fold(&across, 0.0, Operation::Add);
        if function == Function::Direction {
            return Some(self.push(Operation::AngleOf(across, along)));
        }
        let (a, b) = (self.push(Operation::Multiply(along, along)), self.push(Operation::Multiply(across, across)));
        let square = self.push(Operation::Add(a, b));
        Some(self.push(Operation::Sqrt(square)))
    }

    // A table as a sum of what each row adds to the one before it, so that its slopes follow by themselves.
    fn table(&mut self, function: Function, x: &Tree, rows: &Tree, values: &Tree, loops: &mut Vec<i64>) -> Option<usize> {
        let quantity = x.quantity;
        let span = x.span;
        let x = self.tree(x, loops)?;
        let rows = self.items(rows, loops)?;
        let values = self.items(values, loops)?;
        let mut terms = vec![*values.first()?];
        for ((row, value), (next, next_value)) in rows.iter().zip(&values).zip(rows.iter().zip(&values).skip(1)) {
            let rise = self.push(Operation::Subtract(*next_value, *value));
            let share = if function == Function::Interpolated {
                let zero = self.push(Operation::Constant(0.0));
                let run = self.push(Operation::Subtract(*next, *row));
                let into = self.push(Operation::Subtract(x, *row));
                let into = self.push(Operation::Max(into, zero));
                let into = self.push(Operation::Min(into, run));
                self.push(Operation::Divide(into, run))
            } else {
                let past = self.push(Operation::Subtract(x, *next));
                self.push(Operation::Step(past))
            };
            terms.push(self.push(Operation::Multiply(rise, share)));
        }
        let sum = self.fold(&terms, 0.0, Operation::Add);
        let within = self.within_table(function, x, &rows)?;
        let entry = self.program.entries.len();
        self.program.tables.push(TablePlace { entry, span, quantity, function, x, rows });
        Some(self.push(Operation::Where(sum, within)))
    }

    // Nought or above where the rows ascend and `x` stands in the table.
    fn within_table(&mut self, function: Function, x: usize, rows: &[usize]) -> Option<usize> {
        let (first, last) = (*rows.first()?, *rows.last()?);
        let mut conditions: Vec<usize> =
            rows.iter().zip(rows.iter().skip(1)).map(|(row, next)| self.push(Operation::Subtract(*next, *row))).collect();
        if function == Function::Tabled {
            // A row is met when it agrees to rounding.
            let gaps: Vec<usize> = rows
                .iter()
                .map(|row| {
                    let gap = self.push(Operation::Subtract(x, *row));
                    self.push(Operation::Abs(gap))
                })
                .collect();
            let nearest = gaps.into_iter().reduce(|a, b| self.push(Operation::Min(a, b)))?;
            let (size, share) = (self.push(Operation::Abs(last)), self.push(Operation::Constant(1e-9)));
            let rounding = self.push(Operation::Multiply(size, share));
            conditions.push(self.push(Operation::Subtract(rounding, nearest)));
        } else {
            conditions.push(self.push(Operation::Subtract(x, first)));
        }
        if function == Function::Interpolated {
            conditions.push(self.push(Operation::Subtract(last, x)));
        }
        conditions.into_iter().reduce(|a, b| self.push(Operation::Min(a, b)))
    }

    pub(super) fn fold(&mut self, items: &[usize], empty: f64, step: fn(usize, usize) -> Operation) -> usize {
        match items {
            [] => self.push(Operation::Constant(empty)),
            [first, rest @ ..] => rest.iter().fold(*first, |so_far, item| self.push(step(so_far, *item))),
        }
    }

    fn over(&mut self, fold: Fold, body: &Tree, range: &Range, loops: &mut Vec<i64>) -> Option<usize> {
        let first = counts::whole(&range.first_written, self.model, loops)?;
        let last = counts::whole(&range.last_written, self.model, loops)?;
        let mut items = Vec::new();
        for index in first..=last {
            loops.push(index);
            let item = self.tree(body, loops);
            loops.pop();
            items.push(item?);
        }
        Some(match fold {
            Fold::Sum => self.fold(&items, 0.0, Operation::Add),
            Fold::Product => self.fold(&items, 1.0, Operation::Multiply),
        })
    }
}
