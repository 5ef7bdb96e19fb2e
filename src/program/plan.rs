//! Which steps of the flat list some results rest on, and in which columns they are worked.
//!
//! What no doubt reaches keeps the value it has on the sheet; everything else gets a column for as long as it is used.

use crate::measure::{Distribution, Sampler};
use crate::model::{Model, Owner, Purpose};
use crate::program::columns::{Action, Operand, Step};
use crate::program::lower::{Program, Source};
use crate::program::operations::{Operation, operands};
use crate::program::run::Evaluation;
use crate::syntax::ast::{Meaning, Relation};
use std::collections::{BTreeMap, BTreeSet};

/// A limit of a machine that may be passed in some draws.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Watch {
    /// The machine as it goes by name.
    pub(super) machine: String,
    /// What is wrong where the limit is passed.
    pub(super) says: String,
    /// Left side.
    pub(super) left: Operand,
    /// Which way.
    pub(super) relation: Relation,
    /// Right side.
    pub(super) right: Operand,
}

/// How some results are drawn.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Plan {
    /// The steps, in order.
    pub(super) steps: Vec<Step>,
    /// How many columns they need.
    pub(super) columns: usize,
    /// Where each result is found.
    pub(super) results: Vec<Option<Operand>>,
    /// Limits of the machines that the results rest on.
    pub(super) watched: Vec<Watch>,
    /// The entries whose doubts are drawn together, as they are correlated.
    pub(super) together: BTreeSet<usize>,
    /// Whether a line that was found by iteration is among them; it is not found anew in each draw.
    pub(super) fitted: bool,
    // What is drawn, in the order of the samplers.
    draws: Vec<Draw>,
}

// A draw of its own: which stretch of the sequence it takes, and from what.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Draw {
    stream: usize,
    distribution: Distribution,
    size: f64,
}

impl Plan {
    /// The samplers of its draws, from the beginning.
    pub(super) fn samplers(&self, seed: u64) -> Vec<Sampler> {
        self.draws.iter().map(|draw| Sampler::new(seed, draw.stream, draw.distribution, draw.size)).collect()
    }
}

/// The distribution that a source is drawn from where it stands; normal for one that is correlated with others.
pub(super) fn drawn_from(evaluation: &Evaluation, number: usize) -> Distribution {
    match evaluation.program.sources.get(number) {
        Some(source) if evaluation.shares(number).is_none() => {
            pool(source).map_or_else(|| distribution(source), |(_, d)| Distribution::Student(d))
        }
        _ => Distribution::Normal,
    }
}

// The pool of a source, with the degrees of freedom of its estimate of variance.
fn pool(source: &Source) -> Option<(usize, f64)> {
    source.pool.zip(source.degrees.filter(|degrees| *degrees > 0.0))
}

/// The distribution that a source was stated with (JCGM 101:2008, table 1). A certificate that gives degrees of freedom, and
/// the mean of repeated readings, follow Student's t.
pub(super) fn distribution(source: &Source) -> Distribution {
    let spread = |degrees: Option<f64>| degrees.map_or(Distribution::Normal, Distribution::Student);
    match source.meaning {
        Meaning::Limits | Meaning::Resolution => Distribution::Rectangular,
        Meaning::Triangular => Distribution::Triangular,
        Meaning::Arcsine => Distribution::Arcsine,
        Meaning::Trapezoidal(top) => Distribution::Trapezoidal(top),
        Meaning::Repeats => spread(source.degrees.or(Some(source.amounts.len() as f64 - 1.0)).filter(|degrees| *degrees > 0.0)),
        Meaning::Expanded(_) | Meaning::Level(_) | Meaning::Standard | Meaning::Scatter => spread(source.degrees),
    }
}

/// The plan for values at these places of the program.
pub(super) fn plan(model: &Model, evaluation: &Evaluation, places: &[Option<usize>]) -> Plan {
    let program = &evaluation.program;
    let mut found = Plan::default();
    let mut planner = Planner {
        program,
        evaluation,
        known: BTreeMap::new(),
        made: Vec::new(),
        draws: Vec::new(),
        drawn: BTreeMap::new(),
        together: BTreeSet::new(),
        next: 0,
    };
    found.results = places.iter().map(|place| place.map(|place| planner.everything_behind(place))).collect();
    // Machines that a result rests on, by the steps that were needed for it.
    let rests: BTreeSet<usize> = planner.known.keys().copied().collect();
    let mut at_work = BTreeSet::new();
    for (entry, places) in model.entries.iter().zip(&program.entries) {
        if let Owner::Instance(at) = entry.owner
            && places.iter().any(|place| rests.contains(place))
        {
            at_work.insert(at);
        }
    }
    for (at, instance) in model.instances.iter().enumerate().filter(|(at, _)| at_work.contains(at)) {
        let sides = program.conditions.get(at).into_iter().flatten();
        for (condition, sides) in instance.conditions.iter().zip(sides).filter(|(condition, _)| condition.purpose == Purpose::Limit) {
            let Some((left, right)) = *sides else { continue };
            let (left, right) = (planner.everything_behind(left), planner.everything_behind(right));
            if matches!((left, right), (Operand::Fixed(_), Operand::Fixed(_))) {
                continue;
            }
            let (machine, says) = (instance.prefix.clone(), condition.says.to_string());
            found.watched.push(Watch { machine, says, left, relation: condition.relation, right });
        }
    }
    found.draws = std::mem::take(&mut planner.draws);
    found.together = std::mem::take(&mut planner.together);
    found.fitted = planner.known.keys().any(|at| matches!(planner.operation(*at), Operation::Fitted(..)));
    let mut kept: BTreeSet<usize> = BTreeSet::new();
    let mut keep = |operand: &Operand| {
        if let Operand::Column(at) = operand {
            kept.insert(*at);
        }
    };
    found.results.iter().flatten().for_each(&mut keep);
    found.watched.iter().for_each(|watch| [watch.left, watch.right].iter().for_each(&mut keep));
    let mut shelf = Shelf { last: last_uses(&planner.made), kept, places: BTreeMap::new(), free: Vec::new(), count: 0 };
    found.steps = planner.made.into_iter().enumerate().map(|(at, step)| shelf.step(at, step)).collect();
    found.columns = shelf.count;
    found.results.iter_mut().flatten().for_each(|operand| *operand = shelf.moved(*operand));
    for watch in &mut found.watched {
        (watch.left, watch.right) = (shelf.moved(watch.left), shelf.moved(watch.right));
    }
    found
}

struct Planner<'p> {
    program: &'p Program,
    evaluation: &'p Evaluation,
    // Where each step is found that has been planned.
    known: BTreeMap<usize, Operand>,
    made: Vec<Step>,
    draws: Vec<Draw>,
    // The column of each draw, by its stretch of the sequence.
    drawn: BTreeMap<usize, usize>,
    together: BTreeSet<usize>,
    next: usize,
}

impl Planner<'_> {
    fn new_column(&mut self) -> usize {
        self.next += 1;
        self.next - 1
    }

    fn operation(&self, place: usize) -> Operation {
        self.program.operations.get(place).copied().unwrap_or(Operation::Constant(f64::NAN))
    }

    fn fixed(&self, place: usize) -> Operand {
        Operand::Fixed(self.evaluation.values.get(place).copied().unwrap_or(f64::NAN))
    }

    // Plans a step and everything behind it that is not planned yet, from top to bottom.
    fn everything_behind(&mut self, place: usize) -> Operand {
        let mut behind = BTreeSet::new();
        let mut open = vec![place];
        while let Some(at) = open.pop() {
            if self.known.contains_key(&at) || !behind.insert(at) {
                continue;
            }
            open.extend(operands(self.operation(at)).into_iter().flatten());
            if let Operation::Sought(number) = self.operation(at) {
                open.extend(self.program.sought.get(number).map(|sought| sought.known));
            }
        }
        for at in behind {
            if !self.known.contains_key(&at) {
                let operand = self.planned(at);
                self.known.insert(at, operand);
            }
        }
        self.known.get(&place).copied().unwrap_or(Operand::Fixed(f64::NAN))
    }

    fn planned(&mut self, place: usize) -> Operand {
        let operation = self.operation(place);
        match operation {
            Operation::Doubt(number) if self.evaluation.standard_uncertainty(number).is_some_and(|u| u > 0.0) => {
                Operand::Column(self.doubt(number))
            }
            Operation::Sought(number) => self.sought(place, number),
            _ => {
                let Some(works_on) = self.pair(operation, &BTreeMap::new()) else { return self.fixed(place) };
                Operand::Column(self.work(operation, works_on))
            }
        }
    }

    // The column of a source of doubt. The stretches of the sequence go to the sources first, then to the independent doubts
    // behind those that are correlated, of which there are no more than sources, and then to the pools.
    fn doubt(&mut self, number: usize) -> usize {
        let count = self.program.sources.len();
        let size = self.evaluation.standard_uncertainty(number).unwrap_or(0.0);
        let Some(source) = self.program.sources.get(number) else { return self.draw(number, Distribution::Normal, size) };
        if let Some(shares) = self.evaluation.shares(number) {
            self.together.insert(source.entry);
            return self.joint(shares, size, count);
        }
        match pool(source) {
            Some((pool, degrees)) => {
                let own = self.draw(number, Distribution::Normal, size);
                let stretch = self.draw(2 * count + pool, Distribution::Stretch(degrees), 1.0);
                self.work(Operation::Multiply(0, 1), [Operand::Column(own), Operand::Column(stretch)])
            }
            None => self.draw(number, distribution(source), size),
        }
    }

    // The shares of independent normal draws that a correlated source is made of (JCGM 101:2008, 6.4.8).
    fn joint(&mut self, shares: &[(usize, f64)], size: f64, count: usize) -> usize {
        let mut sum = None;
        for (at, share) in shares {
            let normal = self.draw(count + at, Distribution::Normal, 1.0);
            let part = self.work(Operation::Multiply(0, 1), [Operand::Column(normal), Operand::Fixed(share * size)]);
            sum = Some(match sum {
                Some(sum) => self.work(Operation::Add(0, 1), [Operand::Column(sum), Operand::Column(part)]),
                None => part,
            });
        }
        sum.unwrap_or_else(|| self.draw(count, Distribution::Normal, 0.0))
    }

    // The column of a draw, made when it is first asked for.
    fn draw(&mut self, stream: usize, distribution: Distribution, size: f64) -> usize {
        if let Some(column) = self.drawn.get(&stream) {
            return *column;
        }
        let out = self.new_column();
        self.draws.push(Draw { stream, distribution, size });
        self.made.push(Step { out, action: Action::Draw(self.draws.len() - 1) });
        self.drawn.insert(stream, out);
        out
    }

    fn work(&mut self, operation: Operation, operands: [Operand; 2]) -> usize {
        let out = self.new_column();
        self.made.push(Step { out, action: Action::Work(operation, operands) });
        out
    }

    // The operands of an operation; none where no column is among them.
    fn pair(&self, operation: Operation, inner: &BTreeMap<usize, Operand>) -> Option<[Operand; 2]> {
        let [first, second] = operands(operation);
        let of = |place: usize| inner.get(&place).or_else(|| self.known.get(&place)).copied().unwrap_or_else(|| self.fixed(place));
        let a = of(first?);
        let b = second.map_or(a, of);
        matches!((a, b), (Operand::Column(_), _) | (_, Operand::Column(_))).then_some([a, b])
    }

    // A load that is sought: what its target takes from elsewhere is planned before it, though it may stand further down.
    fn sought(&mut self, place: usize, number: usize) -> Operand {
        let sought = self.program.sought.get(number).and_then(|sought| Some((sought.known, sought.target?)));
        let Some((known, target)) = sought else { return self.fixed(place) };
        // What follows the load, and what of that the target rests on.
        let mut follows = BTreeSet::from([place]);
        for at in place + 1..=target {
            if operands(self.operation(at)).into_iter().flatten().any(|operand| follows.contains(&operand)) {
                follows.insert(at);
            }
        }
        let mut needed = BTreeSet::new();
        let mut beside = BTreeSet::new();
        let mut open = vec![target];
        while let Some(at) = open.pop() {
            if !follows.contains(&at) {
                beside.insert(at);
            } else if needed.insert(at) {
                open.extend(operands(self.operation(at)).into_iter().flatten());
            }
        }
        needed.remove(&place);
        let moved = beside.into_iter().filter(|at| matches!(self.everything_behind(*at), Operand::Column(_))).count() > 0;
        let known = self.everything_behind(known);
        if !moved && matches!(known, Operand::Fixed(_)) {
            return self.fixed(place);
        }
        let out = self.new_column();
        let mut within = BTreeMap::from([(place, Operand::Column(out))]);
        let mut inner = Vec::new();
        for at in needed {
            let operation = self.operation(at);
            let Some(works_on) = self.pair(operation, &within) else { continue };
            let column = self.new_column();
            inner.push(Step { out: column, action: Action::Work(operation, works_on) });
            within.insert(at, Operand::Column(column));
        }
        let target = within.get(&target).copied().unwrap_or(Operand::Fixed(f64::NAN));
        self.made.push(Step { out, action: Action::Seek { known, inner, target } });
        Operand::Column(out)
    }
}

fn uses(step: &Step, see: &mut dyn FnMut(usize)) {
    let mut column = |operand: &Operand| {
        if let Operand::Column(at) = operand {
            see(*at);
        }
    };
    match &step.action {
        Action::Work(_, both) => both.iter().for_each(&mut column),
        Action::Draw(_) => {}
        Action::Seek { known, inner, target } => {
            [known, target].into_iter().for_each(&mut column);
            for step in inner {
                uses(step, see);
                see(step.out);
            }
        }
    }
}

fn last_uses(steps: &[Step]) -> BTreeMap<usize, usize> {
    let mut last = BTreeMap::new();
    for (at, step) in steps.iter().enumerate() {
        last.insert(step.out, at);
        uses(step, &mut |column| {
            last.insert(column, at);
        });
    }
    last
}

// Columns given out, and taken back after their last use.
struct Shelf {
    last: BTreeMap<usize, usize>,
    kept: BTreeSet<usize>,
    places: BTreeMap<usize, usize>,
    free: Vec<usize>,
    count: usize,
}

impl Shelf {
    fn place(&mut self, column: usize) -> usize {
        if let Some(place) = self.places.get(&column) {
            return *place;
        }
        let place = self.free.pop().unwrap_or(self.count);
        self.count = self.count.max(place + 1);
        self.places.insert(column, place);
        place
    }

    fn moved(&self, operand: Operand) -> Operand {
        match operand {
            Operand::Column(at) => self.places.get(&at).map_or(Operand::Fixed(f64::NAN), |place| Operand::Column(*place)),
            fixed @ Operand::Fixed(_) => fixed,
        }
    }

    fn step(&mut self, at: usize, step: Step) -> Step {
        // The column to fill is chosen before any other is given back: a step never writes where it reads.
        let mut over = BTreeSet::from([step.out]);
        uses(&step, &mut |column| {
            over.insert(column);
        });
        let placed = self.placed(step);
        for column in over.into_iter().filter(|column| self.last.get(column) == Some(&at) && !self.kept.contains(column)) {
            self.free.extend(self.places.get(&column));
        }
        placed
    }

    fn placed(&mut self, step: Step) -> Step {
        let out = self.place(step.out);
        let action = match step.action {
            Action::Work(operation, [a, b]) => Action::Work(operation, [self.moved(a), self.moved(b)]),
            Action::Draw(source) => Action::Draw(source),
            Action::Seek { known, inner, target } => {
                let inner = inner.into_iter().map(|step| self.placed(step)).collect();
                Action::Seek { known: self.moved(known), inner, target: self.moved(target) }
            }
        };
        Step { out, action }
    }
}
