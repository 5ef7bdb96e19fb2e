//! Lines through readings, laid flat: what is common to the readings is carried through, what is a reading's own is not.
//!
//! A reading's own random parts show in how the trials scatter about the line, and would be counted twice. So the line is
//! worked from copies of the readings in which every source of doubt that reaches one reading alone stands still.

use crate::diagnostics::Sink;
use crate::diagnostics::catalogue::comparing::{LawFalls, LawWithoutLine, OutsideTestedRange};
use crate::measure::Line;
use crate::model::functions::LinePart;
use crate::model::tree::Tree;
use crate::model::{Law, Model};
use crate::program::lower::{Lowering, Program};
use crate::program::operations::{Operation, operands, slopes};
use crate::program::run::{Evaluation, printed_in, standard_uncertainty};
use crate::source::Span;
use std::collections::{BTreeMap, BTreeSet};

/// A line through readings.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct FitPlace {
    /// Whether the stated doubts of both readings are taken account of.
    pub both: bool,
    /// The operations that hold the loads.
    pub x: Vec<usize>,
    /// The operations that hold the efforts.
    pub y: Vec<usize>,
    // For each load, then for each effort: the sources of doubt that reach this reading alone.
    own: Vec<Vec<usize>>,
    // The operations that hold the parts of the line.
    slope: usize,
    middle: usize,
    height: usize,
    of_slope: usize,
    of_height: usize,
    deviation: usize,
}

/// A use of a law at a load.
#[derive(Debug, Clone, PartialEq)]
pub struct LawUsed {
    /// The place of the law in [`Model::laws`].
    pub law: usize,
    /// The operation that holds the load.
    pub load: usize,
    /// The operations that hold the loads of the trials.
    pub loads: Vec<usize>,
    /// Where the use is written.
    pub span: Span,
}

// The parts found by iteration: slope, how much of a change of one more round stays, doubts of slope and height, then the
// variance of each reading's own doubt.
const SLOPE: usize = 0;
const STAYS: usize = 1;
const OF_SLOPE: usize = 2;
const OF_HEIGHT: usize = 3;
const VARIANCES: usize = 4;

impl Lowering<'_> {
    /// The operation that holds a part of the line through `loads` and `efforts`.
    pub(super) fn line(&mut self, both: bool, part: LinePart, loads: &Tree, efforts: &Tree) -> Option<usize> {
        let x = self.items(loads, &mut Vec::new())?;
        let y = self.items(efforts, &mut Vec::new())?;
        if x.len() != y.len() || x.len() < 3 {
            return None;
        }
        let known = self.program.fits.iter().position(|fit| fit.both == both && fit.x == x && fit.y == y);
        let at = match known {
            Some(at) => at,
            None => self.draw(both, x, y)?,
        };
        let fit = self.program.fits.get(at)?;
        Some(match part {
            LinePart::Slope => fit.slope,
            LinePart::Middle => fit.middle,
            LinePart::Height => fit.height,
            LinePart::OfSlope => fit.of_slope,
            LinePart::OfHeight => fit.of_height,
            LinePart::Deviation => fit.deviation,
        })
    }

    fn draw(&mut self, both: bool, x: Vec<usize>, y: Vec<usize>) -> Option<usize> {
        let readings: Vec<usize> = x.iter().chain(&y).copied().collect();
        let own = own_sources(&self.program, &readings);
        let copies: Vec<usize> = readings.iter().zip(&own).map(|(reading, own)| self.without(*reading, own)).collect();
        let (loads, efforts) = copies.split_at(x.len());
        let (loads, efforts) = (loads.to_vec(), efforts.to_vec());
        let at = self.program.fits.len();
        self.program.fits.push(FitPlace { both, x, y, own, ..FitPlace::default() });
        if both {
            self.weighed(at, &loads, &efforts)
        } else {
            self.least_squares(at, &loads, &efforts)
        }
        Some(at)
    }

    // `place` once more, with the sources of `own` standing still; what does not rest on them is not copied.
    fn without(&mut self, place: usize, own: &[usize]) -> usize {
        if own.is_empty() {
            return place;
        }
        let mut copies: BTreeMap<usize, usize> = BTreeMap::new();
        for at in behind(&self.program, place) {
            let Some(operation) = self.program.operations.get(at).copied() else { continue };
            if let Operation::Doubt(source) = operation
                && own.contains(&source)
            {
                copies.insert(at, self.push(Operation::Constant(0.0)));
            } else if operands(operation).into_iter().flatten().any(|operand| copies.contains_key(&operand)) {
                let moved = operation.moved(|operand| copies.get(&operand).copied().unwrap_or(operand));
                copies.insert(at, self.push(moved));
            }
        }
        copies.get(&place).copied().unwrap_or(place)
    }

    // Taken off the first of them, so that readings that agree in many digits lose none.
    fn mean(&mut self, items: &[usize], weights: Option<&[usize]>) -> usize {
        let Some(first) = items.first().copied() else { return self.push(Operation::Constant(f64::NAN)) };
        let off = self.off(items, first);
        let mean_off = match weights {
            Some(weights) => {
                let (over, under) = (self.sum_of_products(weights, &off), self.fold(weights, 0.0, Operation::Add));
                self.push(Operation::Divide(over, under))
            }
            None => {
                let (over, under) = (self.fold(&off, 0.0, Operation::Add), self.push(Operation::Constant(items.len() as f64)));
                self.push(Operation::Divide(over, under))
            }
        };
        self.push(Operation::Add(first, mean_off))
    }

    fn off(&mut self, items: &[usize], from: usize) -> Vec<usize> {
        items.iter().map(|item| self.push(Operation::Subtract(*item, from))).collect()
    }

    fn products(&mut self, a: &[usize], b: &[usize]) -> Vec<usize> {
        a.iter().zip(b).map(|(a, b)| self.push(Operation::Multiply(*a, *b))).collect()
    }

    fn sum_of_products(&mut self, a: &[usize], b: &[usize]) -> usize {
        let products = self.products(a, b);
        self.fold(&products, 0.0, Operation::Add)
    }

    // What each effort is above a line through the middle.
    fn above(&mut self, slope: usize, across: &[usize], up: &[usize]) -> Vec<usize> {
        let line: Vec<usize> = across.iter().map(|x| self.push(Operation::Multiply(slope, *x))).collect();
        up.iter().zip(line).map(|(y, line)| self.push(Operation::Subtract(*y, line))).collect()
    }

    fn root_of_share(&mut self, sum: usize, count: f64) -> usize {
        let count = self.push(Operation::Constant(count));
        let share = self.push(Operation::Divide(sum, count));
        self.push(Operation::Sqrt(share))
    }

    // Ordinary least squares, the sums taken off the means.
    fn least_squares(&mut self, at: usize, loads: &[usize], efforts: &[usize]) {
        let count = loads.len() as f64;
        let (middle, height) = (self.mean(loads, None), self.mean(efforts, None));
        let (across, up) = (self.off(loads, middle), self.off(efforts, height));
        let (square, product) = (self.sum_of_products(&across, &across), self.sum_of_products(&across, &up));
        let slope = self.push(Operation::Divide(product, square));
        let residuals = self.above(slope, &across, &up);
        let squares = self.sum_of_products(&residuals, &residuals);
        let deviation = self.root_of_share(squares, count - 2.0);
        let spread = self.push(Operation::Sqrt(square));
        let of_slope = self.push(Operation::Divide(deviation, spread));
        let trials = self.push(Operation::Constant(libm::sqrt(count)));
        let of_height = self.push(Operation::Divide(deviation, trials));
        if let Some(fit) = self.program.fits.get_mut(at) {
            *fit = FitPlace { slope, middle, height, of_slope, of_height, deviation, ..std::mem::take(fit) };
        }
    }

    // With doubt in both readings: the slope is found by iteration when the program is run. One more round, written out, moves
    // by what the readings have in common; `stays` of that is what it moves by when all rounds are counted.
    fn weighed(&mut self, at: usize, loads: &[usize], efforts: &[usize]) {
        let count = loads.len();
        let part = |number: usize, lowering: &mut Self| lowering.push(Operation::Fitted(at, number));
        let (found, stays) = (part(SLOPE, self), part(STAYS, self));
        let (of_slope, of_height) = (part(OF_SLOPE, self), part(OF_HEIGHT, self));
        let variances: Vec<usize> = (0..2 * count).map(|reading| part(VARIANCES + reading, self)).collect();
        let (of_loads, of_efforts) = variances.split_at(count);
        let first = self.round(found, loads, efforts, of_loads, of_efforts);
        let (over, under) = (self.sum_of_products(&first.pulled, &first.up), self.sum_of_products(&first.pulled, &first.across));
        let next = self.push(Operation::Divide(over, under));
        let moved = self.push(Operation::Subtract(next, found));
        let kept = self.push(Operation::Multiply(stays, moved));
        let slope = self.push(Operation::Add(found, kept));
        let last = self.round(slope, loads, efforts, of_loads, of_efforts);
        let total = self.fold(&last.weights, 0.0, Operation::Add);
        let pulled = self.fold(&last.pulled, 0.0, Operation::Add);
        let shift = self.push(Operation::Divide(pulled, total));
        let rise = self.push(Operation::Multiply(slope, shift));
        let middle = self.push(Operation::Add(last.middle, shift));
        let height = self.push(Operation::Add(last.height, rise));
        let residuals = self.above(slope, &last.across, &last.up);
        let squared = self.products(&residuals, &residuals);
        let squares = self.sum_of_products(&last.weights, &squared);
        let deviation = self.root_of_share(squares, count as f64 - 2.0);
        if let Some(fit) = self.program.fits.get_mut(at) {
            *fit = FitPlace { slope, middle, height, of_slope, of_height, deviation, ..std::mem::take(fit) };
        }
    }

    // See `measure::Line::between`.
    fn round(&mut self, slope: usize, loads: &[usize], efforts: &[usize], of_loads: &[usize], of_efforts: &[usize]) -> Round {
        let one = self.push(Operation::Constant(1.0));
        let square = self.push(Operation::Multiply(slope, slope));
        let mut weights = Vec::new();
        for (x, y) in of_loads.iter().zip(of_efforts) {
            let across = self.push(Operation::Multiply(square, *x));
            let sum = self.push(Operation::Add(*y, across));
            weights.push(self.push(Operation::Divide(one, sum)));
        }
        let (middle, height) = (self.mean(loads, Some(&weights)), self.mean(efforts, Some(&weights)));
        let (across, up) = (self.off(loads, middle), self.off(efforts, height));
        let mut pulled = Vec::new();
        for (((u, v), weight), (x, y)) in across.iter().zip(&up).zip(&weights).zip(of_loads.iter().zip(of_efforts)) {
            let along = self.push(Operation::Multiply(*u, *y));
            let steep = self.push(Operation::Multiply(*v, *x));
            let steep = self.push(Operation::Multiply(slope, steep));
            let sum = self.push(Operation::Add(along, steep));
            let beta = self.push(Operation::Multiply(*weight, sum));
            pulled.push(self.push(Operation::Multiply(*weight, beta)));
        }
        Round { middle, height, across, up, weights, pulled }
    }

    /// The effort of a law at a load: arguments are the load, the slope, the middle, the height and the loads of the trials.
    pub(super) fn at_load(&mut self, law: usize, arguments: &[Tree], loops: &mut Vec<i64>) -> Option<usize> {
        let [load, slope, middle, height, loads] = arguments else { return None };
        let span = load.span;
        let load = self.tree(load, loops)?;
        let (slope, middle, height) = (self.tree(slope, loops)?, self.tree(middle, loops)?, self.tree(height, loops)?);
        let loads = self.items(loads, loops)?;
        self.program.laws_used.push(LawUsed { law, load, loads, span });
        let off = self.push(Operation::Subtract(load, middle));
        let rise = self.push(Operation::Multiply(slope, off));
        Some(self.push(Operation::Add(height, rise)))
    }
}

// One round of the fit with doubt in both readings, laid flat. `pulled` holds weight times beta.
struct Round {
    middle: usize,
    height: usize,
    across: Vec<usize>,
    up: Vec<usize>,
    weights: Vec<usize>,
    pulled: Vec<usize>,
}

// Every step behind `place`, itself included, from the first on.
fn behind(program: &Program, place: usize) -> BTreeSet<usize> {
    let mut found = BTreeSet::from([place]);
    let mut next = vec![place];
    while let Some(at) = next.pop() {
        let Some(operation) = program.operations.get(at) else { continue };
        next.extend(operands(*operation).into_iter().flatten().filter(|operand| found.insert(*operand)));
    }
    found
}

// For each reading, the sources that reach it and no other.
fn own_sources(program: &Program, readings: &[usize]) -> Vec<Vec<usize>> {
    let reach = |reading: &usize| -> BTreeSet<usize> {
        let source = |at: usize| match program.operations.get(at) {
            Some(Operation::Doubt(source)) => Some(*source),
            _ => None,
        };
        behind(program, *reading).into_iter().filter_map(source).collect()
    };
    let reached: Vec<BTreeSet<usize>> = readings.iter().map(reach).collect();
    let mut count: BTreeMap<usize, usize> = BTreeMap::new();
    reached.iter().flatten().for_each(|source| *count.entry(*source).or_default() += 1);
    let alone = |sources: &BTreeSet<usize>| sources.iter().copied().filter(|source| count.get(source) == Some(&1)).collect();
    reached.iter().map(alone).collect()
}

// The variance that its own sources give a reading.
fn own_variance(program: &Program, reading: usize, own: &[usize], values: &[f64]) -> f64 {
    let at = |place: usize| values.get(place).copied().unwrap_or(f64::NAN);
    let steps = behind(program, reading);
    let mut variance = 0.0;
    for number in own {
        let mut tangent: BTreeMap<usize, f64> = BTreeMap::new();
        for step in &steps {
            let Some(operation) = program.operations.get(*step) else { continue };
            let moved = match operation {
                Operation::Doubt(source) => f64::from(u8::from(source == number)),
                _ => slopes(*operation, at(*step), at)
                    .into_iter()
                    .flatten()
                    .map(|(operand, slope)| {
                        tangent.get(&operand).map_or(0.0, |through| if *through == 0.0 { 0.0 } else { slope * through })
                    })
                    .sum(),
            };
            tangent.insert(*step, moved);
        }
        let of_source = program.sources.get(*number).and_then(|source| standard_uncertainty(source, values).0).unwrap_or(0.0);
        let part = tangent.get(&reading).copied().unwrap_or(0.0) * of_source;
        variance += part * part;
    }
    variance
}

/// The parts of a line with doubt in both readings, in the order of their numbers; nothing where there is no line.
pub(super) fn found(program: &Program, fit: usize, values: &[f64]) -> Vec<f64> {
    let Some(fit) = program.fits.get(fit) else { return Vec::new() };
    let at = |place: &usize| values.get(*place).copied().unwrap_or(f64::NAN);
    let (x, y): (Vec<f64>, Vec<f64>) = (fit.x.iter().map(at).collect(), fit.y.iter().map(at).collect());
    let readings = fit.x.iter().chain(&fit.y).zip(&fit.own);
    let variances: Vec<f64> = readings.map(|(reading, own)| own_variance(program, *reading, own, values)).collect();
    let deviations: Vec<f64> = variances.iter().map(|variance| libm::sqrt(*variance)).collect();
    let (of_x, of_y) = deviations.split_at(x.len());
    let Some(line) = Line::between(&x, &y, of_x, of_y) else { return Vec::new() };
    let mut parts = vec![line.slope, Line::stays(line.slope, &x, &y, of_x, of_y), line.of_slope, line.of_height];
    parts.extend(variances);
    parts
}

/// What is wrong with the laws, and where one is used beyond its trials.
pub(super) fn judge(model: &Model, evaluation: &mut Evaluation, sink: &mut Sink) {
    for law in &model.laws {
        let value = |id: crate::model::tree::EntryId| {
            evaluation.program.entries.get(id.0).and_then(|places| places.first()).and_then(|place| evaluation.values.get(*place)).copied()
        };
        let Some(slope) = value(law.slope) else { continue };
        if !slope.is_finite() {
            if let Some(reason) = without_line(law, evaluation) {
                sink.push(law.span, &LawWithoutLine { name: law.name.clone(), reason });
            }
            let of = law.members.values().filter_map(|member| match member {
                crate::model::Member::Value(id) => Some(id.0),
                _ => None,
            });
            of.for_each(|at| evaluation.known.get_mut(at).into_iter().for_each(|known| *known = false));
        } else if slope <= 0.0 {
            let slope = printed_in(model.entry(law.slope).quantity, slope);
            sink.push(law.span, &LawFalls { name: law.name.clone(), slope });
        }
    }
    let mut told = BTreeSet::new();
    for used in &evaluation.program.laws_used {
        let at = |place: usize| evaluation.values.get(place).copied().unwrap_or(f64::NAN);
        let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
        for load in used.loads.iter().map(|place| at(*place)) {
            (low, high) = (low.min(load), high.max(load));
        }
        let load = at(used.load);
        let rounding = 1e-9 * (high - low);
        let outside = load < low - rounding || load > high + rounding;
        if let Some(law) = model.laws.get(used.law)
            && outside
            && told.insert(used.span)
        {
            let quantity = model.entry(law.middle).quantity;
            let [load, from, to] = [load, low, high].map(|load| printed_in(quantity, load));
            sink.push(used.span, &OutsideTestedRange { name: law.name.clone(), load, from, to });
        }
    }
}

// Why no line can be drawn; none where the readings themselves came to no number.
fn without_line(law: &Law, evaluation: &Evaluation) -> Option<String> {
    let list = |id: crate::model::tree::EntryId| -> Vec<f64> {
        let places = evaluation.program.entries.get(id.0).into_iter().flatten();
        places.map(|place| evaluation.values.get(*place).copied().unwrap_or(f64::NAN)).collect()
    };
    let (loads, efforts) = (list(law.loads), list(law.efforts));
    if loads.iter().chain(&efforts).any(|reading| !reading.is_finite()) {
        return None;
    }
    let first = loads.first().copied().unwrap_or(f64::NAN);
    if loads.iter().all(|load| *load == first) {
        return Some("its loads are all alike".into());
    }
    let fit = evaluation.program.fits.iter().find(|fit| fit.both && evaluation.program.entries.get(law.loads.0) == Some(&fit.x))?;
    let doubtless = (0..fit.x.len()).find(|at| {
        let doubt = |at: usize, reading: Option<&usize>| {
            let own = fit.own.get(at).map_or(&[][..], Vec::as_slice);
            reading.map_or(0.0, |reading| own_variance(&evaluation.program, *reading, own, &evaluation.values))
        };
        doubt(*at, fit.x.get(*at)) + doubt(fit.x.len() + at, fit.y.get(*at)) <= 0.0
    });
    Some(match doubtless {
        Some(at) => format!("neither reading of trial {} states a doubt of its own, so it cannot be weighed", at + 1),
        None => "its rounds do not settle on one slope".into(),
    })
}
