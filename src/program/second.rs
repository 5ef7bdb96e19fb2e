//! Terms of second order: whether a doubt is wide enough for the bend of what it passes through to count, and what it then
//! adds to the variance (JCGM 100:2008, 5.1.2, note).
//!
//! A bound on the bend is carried with the values; where that is large beside the doubt the terms are worked from Taylor series
//! along every independent doubt and every pair of them, exactly.

use crate::diagnostics::Sink;
use crate::diagnostics::catalogue::measuring::SecondOrder;
use crate::measure::{Freedom, Joint, Measured};
use crate::model::tree::{EntryId, Tree, TreeForm};
use crate::model::{Model, Owner, Role};
use crate::program::lower::Program;
use crate::program::operations::{Operation, operands, slopes};
use crate::program::run::{Evaluation, printed_in};
use crate::program::series::{Series, series, still};
use std::collections::{BTreeMap, BTreeSet};

/// A bend less than this share of the doubt is not looked at: it changes the doubt by less than a hundredth.
const SLIGHT: f64 = 0.03;

/// By what share the uncertainty must differ for the author to be told.
const TELLING: f64 = 0.05;

/// Beside the largest term, what rounding leaves of second derivatives that cancel.
const ROUNDING: f64 = 1e-10;

/// The most steps of series that are worked for one result.
const MOST: usize = 20_000_000;

/// What the terms of second order come to at one value.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Second {
    /// What they add to the variance; may be below nothing.
    pub variance: f64,
    /// How far they move the mean.
    pub shift: f64,
}

impl Second {
    // Whether it is what rounding leaves where terms of this size cancel.
    fn is_rounding(self, size: f64) -> bool {
        libm::sqrt(self.variance.abs()) <= ROUNDING * size
    }

    /// A value whose doubt has these terms besides. They have no degrees of freedom of their own, so that those of the whole
    /// grow with its fourth power (JCGM 100:2008, G.2b).
    pub(super) fn added_to(self, first: Measured) -> Measured {
        let uncertainty = libm::sqrt((first.uncertainty * first.uncertainty + self.variance).max(0.0));
        let freedom = match first.freedom {
            Freedom::Effective(degrees) if first.uncertainty > 0.0 => {
                Freedom::Effective(degrees * libm::pow(uncertainty / first.uncertainty, 4.0))
            }
            Freedom::Effective(_) => Freedom::Endless,
            other => other,
        };
        Measured { uncertainty, freedom, ..first }
    }
}

/// What a step and its doubts are, as far as terms of second order go.
#[derive(Clone, Copy)]
pub(super) struct Ground<'g> {
    pub(super) program: &'g Program,
    pub(super) values: &'g [f64],
    /// The standard uncertainty of every source.
    pub(super) sources: &'g [f64],
    pub(super) joint: &'g Joint,
}

/// A bound on the bend at every step: half its second derivatives, each times the doubts it is by.
pub(super) fn bends(program: &Program, values: &[f64], uncertainties: &[f64]) -> Vec<f64> {
    let value = |place: usize| values.get(place).copied().unwrap_or(f64::NAN);
    let doubt = |place: usize| uncertainties.get(place).copied().unwrap_or(0.0);
    let mut bends: Vec<f64> = Vec::with_capacity(values.len());
    for (at, operation) in program.operations.iter().enumerate() {
        // A load that was sought is worked in any case where something rests on it.
        let mut bend = if matches!(operation, Operation::Sought(_)) { doubt(at) } else { 0.0 };
        let moving = |place: usize| doubt(place) > 0.0 || bends.get(place).is_some_and(|bend| *bend > 0.0);
        let operands = operands(*operation);
        if operands.into_iter().flatten().any(moving) {
            for (operand, slope) in slopes(*operation, value(at), value).into_iter().flatten() {
                let below = bends.get(operand).copied().unwrap_or(0.0);
                if below > 0.0 {
                    bend += slope.abs() * below;
                }
            }
            if !straight(*operation) {
                let first = operands[0];
                let towards = |sign: f64| {
                    series(*operation, |place| [value(place), if Some(place) == first { sign } else { 1.0 } * doubt(place), 0.0, 0.0])[2]
                        .abs()
                };
                bend += towards(1.0).max(towards(-1.0));
            }
        }
        bends.push(if bend.is_finite() { bend } else { 0.0 });
    }
    bends
}

fn straight(operation: Operation) -> bool {
    matches!(
        operation,
        Operation::Add(..)
            | Operation::Subtract(..)
            | Operation::Negate(_)
            | Operation::Abs(_)
            | Operation::Min(..)
            | Operation::Max(..)
            | Operation::Where(..)
            | Operation::Step(_)
    )
}

/// The terms of second order of a sum of steps, each with its sign; none where there are too many to work.
///
/// Σ Σ (f_ij²/2 + f_i f_ijj) u_i² u_j² over all doubts, and half Σ f_ii u_i² for the mean. A doubt of an input that goes
/// together with others is first taken apart into independent ones.
pub(super) fn of(ground: Ground<'_>, sides: &[(usize, f64)]) -> Option<Second> {
    let paths = Paths::to(ground, sides);
    let count = paths.directions.len();
    if count * count * paths.steps.len() > MOST {
        return None;
    }
    let mut work = Work { ground, paths: &paths, sides, series: vec![still(0.0); ground.values.len()], weights: BTreeMap::new() };
    let alone: Vec<Series> = paths.directions.iter().map(|direction| work.along(&[(direction, 1.0)])).collect();
    let mut found = Second::default();
    for own in &alone {
        found.variance += 2.0 * own[2] * own[2] + 6.0 * own[1] * own[3];
        found.shift += own[2];
    }
    for (at, one) in paths.directions.iter().enumerate() {
        for (further, other) in paths.directions.iter().enumerate().skip(at + 1) {
            let (sum, difference) = (work.along(&[(one, 1.0), (other, 1.0)]), work.along(&[(one, 1.0), (other, -1.0)]));
            let (Some(first), Some(second)) = (alone.get(at), alone.get(further)) else { continue };
            let mixed = (sum[2] - difference[2]) / 2.0;
            // f_ijj and f_iij, each times its doubts.
            let by_second = sum[3] + difference[3] - 2.0 * first[3];
            let by_first = sum[3] - difference[3] - 2.0 * second[3];
            found.variance += mixed * mixed + first[1] * by_second + second[1] * by_first;
        }
    }
    (found.variance.is_finite() && found.shift.is_finite()).then_some(found)
}

// The share of each source in one independent doubt of one standard uncertainty.
type Direction = Vec<(usize, f64)>;

// The steps that move behind some values, in order, and the independent doubts that move them.
struct Paths {
    steps: Vec<usize>,
    moved: BTreeSet<usize>,
    directions: Vec<Direction>,
}

impl Paths {
    fn to(ground: Ground<'_>, sides: &[(usize, f64)]) -> Paths {
        let program = ground.program;
        let mut behind = BTreeSet::new();
        let mut open: Vec<usize> = sides.iter().map(|(place, _)| *place).collect();
        while let Some(at) = open.pop() {
            let Some(operation) = program.operations.get(at).filter(|_| behind.insert(at)) else { continue };
            open.extend(operands(*operation).into_iter().flatten());
            if let Operation::Sought(number) = operation
                && let Some((sought, target)) = program.sought.get(*number).and_then(|sought| Some((sought, sought.target?)))
            {
                open.push(sought.known);
                let tried = program.operations.get(sought.place + 1..=target).unwrap_or_default();
                open.extend(tried.iter().flat_map(|step| operands(*step)).flatten().filter(|operand| *operand < sought.place));
            }
        }
        let mut paths = Paths { steps: Vec::new(), moved: BTreeSet::new(), directions: Vec::new() };
        let mut alone: Vec<Direction> = Vec::new();
        let mut shared: BTreeMap<usize, Direction> = BTreeMap::new();
        for at in behind {
            let Some(operation) = program.operations.get(at).copied() else { continue };
            let moves = match operation {
                Operation::Doubt(source) => {
                    let size = ground.sources.get(source).copied().unwrap_or(0.0);
                    match ground.joint.shares(source) {
                        _ if size <= 0.0 => {}
                        Some(shares) => {
                            shares.iter().for_each(|(doubt, share)| shared.entry(*doubt).or_default().push((source, share * size)))
                        }
                        None => alone.push(vec![(source, size)]),
                    }
                    size > 0.0
                }
                Operation::Sought(_) => true,
                _ => operands(operation).into_iter().flatten().any(|operand| paths.moved.contains(&operand)),
            };
            if moves {
                paths.moved.insert(at);
                paths.steps.push(at);
            }
        }
        alone.extend(shared.into_values());
        paths.directions = alone;
        paths
    }
}

struct Work<'w> {
    ground: Ground<'w>,
    paths: &'w Paths,
    sides: &'w [(usize, f64)],
    series: Vec<Series>,
    weights: BTreeMap<usize, f64>,
}

impl Work<'_> {
    // The sum of the sides along a sum of independent doubts.
    fn along(&mut self, directions: &[(&Direction, f64)]) -> Series {
        self.weights.clear();
        for (direction, sign) in directions {
            for (source, size) in *direction {
                *self.weights.entry(*source).or_default() += sign * size;
            }
        }
        for at in &self.paths.steps {
            let next = match self.ground.program.operations.get(*at).copied() {
                Some(Operation::Doubt(source)) => [0.0, self.weights.get(&source).copied().unwrap_or(0.0), 0.0, 0.0],
                Some(Operation::Sought(number)) => self.sought(number, *at),
                Some(Operation::Fitted(..)) => still(self.value(*at)),
                Some(operation) => series(operation, |place| self.at(place)),
                None => still(f64::NAN),
            };
            if let Some(place) = self.series.get_mut(*at) {
                *place = next;
            }
        }
        self.sides.iter().fold(still(0.0), |mut sum, (place, sign)| {
            sum.iter_mut().zip(self.at(*place)).for_each(|(sum, part)| *sum += sign * part);
            sum
        })
    }

    fn value(&self, place: usize) -> f64 {
        self.ground.values.get(place).copied().unwrap_or(f64::NAN)
    }

    fn at(&self, place: usize) -> Series {
        match self.series.get(place) {
            Some(series) if self.paths.moved.contains(&place) => *series,
            _ => still(self.value(place)),
        }
    }

    // A load that was sought, order by order: what is left of the known value at one order, over how the target follows the load.
    fn sought(&self, number: usize, place: usize) -> Series {
        let mut load = still(self.value(place));
        let Some((sought, target)) = self.ground.program.sought.get(number).and_then(|sought| Some((sought, sought.target?))) else {
            return load;
        };
        let known = self.at(sought.known);
        let slope = self.tried(place, target, [load[0], 1.0, 0.0, 0.0], true)[1];
        for order in 1..4 {
            let met = self.tried(place, target, load, false);
            if let (Some(part), Some(known), Some(met)) = (load.get_mut(order), known.get(order), met.get(order)) {
                *part += (known - met) / slope;
            }
        }
        load
    }

    // The target where the load runs so; with everything else held fast, or moving as it does.
    fn tried(&self, place: usize, target: usize, load: Series, fast: bool) -> Series {
        let mut tried = vec![load];
        for at in place + 1..=target {
            let of = |operand: usize| match operand.checked_sub(place).and_then(|off| tried.get(off)) {
                Some(series) => *series,
                None if fast => still(self.value(operand)),
                None => self.at(operand),
            };
            let next = match self.ground.program.operations.get(at).copied() {
                Some(Operation::Doubt(source)) if !fast => [0.0, self.weights.get(&source).copied().unwrap_or(0.0), 0.0, 0.0],
                Some(Operation::Doubt(_)) => still(0.0),
                Some(Operation::Sought(_) | Operation::Fitted(..)) => still(self.value(at)),
                Some(operation) => series(operation, of),
                None => still(f64::NAN),
            };
            tried.push(next);
        }
        tried.last().copied().unwrap_or(load)
    }
}

impl Evaluation {
    fn ground(&self) -> Ground<'_> {
        Ground { program: &self.program, values: &self.values, sources: self.standard_uncertainties(), joint: self.joint() }
    }

    /// What the terms of second order come to at an operation; none where they are slight, or too many to work.
    pub fn second_order(&self, place: usize) -> Option<Second> {
        let bend = self.bends.get(place).copied().unwrap_or(0.0);
        let found = (bend > SLIGHT * self.first_order(place)?.uncertainty).then(|| of(self.ground(), &[(place, 1.0)])).flatten();
        found.filter(|second| !second.is_rounding(self.sizes.get(place).copied().unwrap_or(0.0)))
    }

    /// The same for capacity less demand.
    pub(super) fn second_order_apart(&self, demand: usize, capacity: usize) -> Option<Second> {
        let bend = |place: usize| self.bends.get(place).copied().unwrap_or(0.0);
        let slight = bend(demand) + bend(capacity) <= SLIGHT * self.apart(demand, capacity);
        let found = (!slight).then(|| of(self.ground(), &[(capacity, 1.0), (demand, -1.0)])).flatten();
        let size = |place: usize| self.sizes.get(place).copied().unwrap_or(0.0);
        found.filter(|second| !second.is_rounding(size(demand).max(size(capacity))))
    }
}

/// What the terms of second order add, at every value that may be printed or judged and has them.
pub(super) fn counted(evaluation: &Evaluation) -> BTreeMap<usize, Second> {
    let program = &evaluation.program;
    let both = |(left, right): &(Option<usize>, Option<usize>)| [*left, *right];
    let mut places: BTreeSet<usize> = program.entries.iter().flatten().copied().collect();
    places.extend(program.checks.iter().chain(&program.agreements).flat_map(both).flatten());
    places.extend(program.inlines.iter().filter_map(|(_, place)| *place));
    places.extend(program.propagations.iter().flatten().flatten());
    places.extend(
        program.studies.iter().flat_map(|study| study.results.iter().copied().chain(study.demands.iter().flat_map(both))).flatten(),
    );
    places.into_iter().filter_map(|place| Some((place, evaluation.second_order(place)?))).collect()
}

/// Tells where the terms of second order are left out and would change what is printed: at the author's own lines, and at the
/// sides of checks and agreements.
pub(super) fn tell(model: &Model, evaluation: &Evaluation, sink: &mut Sink) {
    // What rests on a line that was told of is not told again.
    let mut told: BTreeSet<usize> = BTreeSet::new();
    // Nor is what is drawn: its distribution is on the sheet.
    let drawn: BTreeSet<usize> = evaluation.program.propagations.iter().flatten().flatten().copied().collect();
    let rests = |tree: &Tree, told: &BTreeSet<usize>| {
        let mut does = false;
        if !told.is_empty() {
            model.each_behind(tree, &mut |id| does |= told.contains(&id.0));
        }
        does
    };
    for (at, entry) in model.entries.iter().enumerate() {
        let followed = rests(&entry.value, &told);
        let lines = matches!(entry.owner, Owner::Sheet) && entry.role == Role::Working;
        let places = evaluation.program.entries.get(at).map_or(&[][..], Vec::as_slice);
        if !followed && lines && evaluation.entry(EntryId(at)).is_some() {
            let found = places.iter().filter(|place| !drawn.contains(place)).find_map(|place| matters(evaluation, *place));
            if let Some((first, second)) = found {
                sink.push(entry.span, &finding(&entry.name, &entry.value, first, second));
                told.insert(at);
                continue;
            }
        }
        if followed {
            told.insert(at);
        }
    }
    let checks = model.checks.iter().zip(&evaluation.program.checks);
    let checks = checks.flat_map(|(check, places)| [(check.demand(), places.0), (check.capacity(), places.1)]);
    let agreements = model.agreements.iter().zip(&evaluation.program.agreements);
    let agreements = agreements.flat_map(|(agreement, places)| [(&agreement.predicted, places.0), (&agreement.measured, places.1)]);
    let mut seen: BTreeSet<usize> = BTreeSet::new();
    for (tree, place) in checks.chain(agreements) {
        let Some(place) = place.filter(|place| seen.insert(*place) && !drawn.contains(place) && evaluation.knows(tree)) else { continue };
        if rests(tree, &told) {
            continue;
        }
        if let Some((first, second)) = matters(evaluation, place) {
            let name = match &tree.form {
                TreeForm::Entry(id) | TreeForm::Item(id, _) => model.entry(*id).name.clone(),
                _ => String::new(),
            };
            sink.push(tree.span, &finding(&name, tree, first, second));
        }
    }
}

// The uncertainties without and with the terms, where they differ by enough.
fn matters(evaluation: &Evaluation, place: usize) -> Option<(f64, f64)> {
    let first = evaluation.first_order(place)?.uncertainty;
    let second = evaluation.second_order(place)?;
    let whole = libm::sqrt((first * first + second.variance).max(0.0));
    ((whole - first).abs() > TELLING * whole).then_some((first, whole))
}

fn finding(name: &str, tree: &Tree, first: f64, second: f64) -> SecondOrder {
    let quantity = tree.quantity.minus(tree.quantity).unwrap_or(tree.quantity);
    let printed = |si: f64| if si > 0.0 { printed_in(quantity, si) } else { "nothing".to_string() };
    SecondOrder { name: name.into(), first: printed(first), second: printed(second) }
}
