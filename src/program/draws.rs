//! `propagate` worked: the propagation of distributions by draws (JCGM 101:2008), and its comparison with the first-order
//! result (clause 8).
//!
//! The draws come in runs of the size of 7.9.4. Where their number is not stated, runs are added until mean, uncertainty and
//! both ends of the interval are steady to the tolerance of the digits that are meant (7.9.4), and until the verdict on the
//! first-order interval does not hang on their scatter.

use crate::diagnostics::Sink;
use crate::diagnostics::catalogue::draws::{DrawsLeftOut, DrawsUnsteady, NothingToDraw, TooFewDraws, TooManyDraws};
use crate::measure::{CoverageRule, Distribution, Interval, Moments, coverage_interval, least_draws, tolerance};
use crate::model::Model;
use crate::model::propagations::{Draws, Propagation};
use crate::model::tree::EntryId;
use crate::program::columns::{BLOCK, Columns, Operand};
use crate::program::plan::{Plan, Watch, distribution, drawn_from, plan};
use crate::program::residue;
use crate::program::run::{Evaluation, printed_for_reader};
use crate::syntax::ast::Relation;
use std::collections::BTreeSet;

/// The most draws that are kept, of all results of a statement together.
pub const MOST_KEPT: usize = 20_000_000;

/// The least draws in one run (JCGM 101:2008, 7.9.4).
const RUN: usize = 10_000;

/// The fewest runs that drawing stops after by itself: two, as the document has it, agree by chance too often.
const FEWEST: f64 = 5.0;

/// Into how many runs a stated number of draws is cut.
const RUNS: usize = 10;

/// What came of a statement.
#[derive(Debug, Clone, PartialEq)]
pub struct Propagated {
    /// One for each result; none where it rests on no doubt.
    pub results: Vec<Option<Drawn>>,
    /// How many draws were made.
    pub draws: usize,
    /// How many of them count.
    pub kept: usize,
    /// Why the others were left out, with how many.
    pub left_out: Vec<(usize, String)>,
    /// Whether the number was found, not stated.
    pub adaptive: bool,
    /// Whether everything became steady.
    pub steady: bool,
    /// The inputs that are drawn together, as they are correlated.
    pub together: Vec<String>,
    /// Those of them whose doubts were stated with another shape than the normal.
    pub reshaped: Vec<String>,
    /// Whether a line that was found by iteration is among what was worked, and kept its weights.
    pub fitted: bool,
}

/// What the draws say of one result, in SI units.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawn {
    /// The mean of the draws; none where their distribution has none.
    pub mean: Option<f64>,
    /// Their standard deviation, the standard uncertainty; none where their distribution has none.
    pub uncertainty: Option<f64>,
    /// The coverage interval.
    pub interval: (f64, f64),
    /// The standard deviation of each end, by its scatter over the runs; none of one run.
    pub scatter: Option<(f64, f64)>,
    /// The numerical tolerance.
    pub tolerance: f64,
    /// The first-order result.
    pub first: FirstOrder,
    /// How far the ends of the first-order interval are off those of the draws.
    pub apart: (f64, f64),
    /// Whether neither is farther off than the tolerance.
    pub confirmed: bool,
    /// Whether that hangs on the scatter of the draws.
    pub close: bool,
    /// Every draw, from least to greatest.
    pub sorted: Vec<f64>,
}

/// The first-order result, in SI units.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FirstOrder {
    /// The value of the sheet.
    pub value: f64,
    /// Its standard uncertainty.
    pub uncertainty: f64,
    /// The coverage factor of the level.
    pub factor: f64,
    /// Effective degrees of freedom; none where they are endless.
    pub degrees: Option<f64>,
}

impl FirstOrder {
    /// Its interval.
    pub fn interval(&self) -> (f64, f64) {
        let half = self.factor * self.uncertainty;
        (self.value - half, self.value + half)
    }
}

/// Draws what every `propagate` of `model` asks for.
pub fn draw(model: &Model, evaluation: &Evaluation, sink: &mut Sink) -> Vec<Option<Propagated>> {
    let all = model.propagations.iter().zip(&evaluation.program.propagations);
    all.map(|(propagation, places)| Drawing::new(model, evaluation, propagation, places)?.work(sink)).collect()
}

// One result while it is drawn.
#[derive(Debug, Clone, Default)]
struct Tally {
    draws: Vec<f64>,
    all: Moments,
    // Mean, deviation and both ends of each run.
    runs: [Moments; 4],
}

struct Drawing<'d> {
    model: &'d Model,
    evaluation: &'d Evaluation,
    propagation: &'d Propagation,
    places: &'d [Option<usize>],
    plan: Plan,
}

impl<'d> Drawing<'d> {
    // None where a result could not be worked on the sheet itself.
    fn new(model: &'d Model, evaluation: &'d Evaluation, propagation: &'d Propagation, places: &'d [Option<usize>]) -> Option<Self> {
        let known = propagation
            .results
            .iter()
            .zip(places)
            .all(|(result, place)| evaluation.knows(&result.value) && place.and_then(|place| evaluation.at(place)).is_some());
        let plan = known.then(|| plan(model, evaluation, places))?;
        Some(Drawing { model, evaluation, propagation, places, plan })
    }

    fn work(&self, sink: &mut Sink) -> Option<Propagated> {
        let (level, asked) = (self.propagation.level, self.propagation.draws);
        let least = least_draws(level);
        let (Draws::Fixed(most) | Draws::UpTo(most)) = asked;
        if most < least {
            let level = format!("{} %", crate::units::significant(100.0 * level, 6).trim_end_matches('0').trim_end_matches('.'));
            sink.push(self.propagation.draws_span, &TooFewDraws { draws: most, least, level });
            return None;
        }
        let moving = self.plan.results.iter().filter(|result| matches!(result, Some(Operand::Column(_)))).count();
        let kept = most.saturating_mul(moving.max(1));
        if kept > MOST_KEPT {
            sink.push(self.propagation.draws_span, &TooManyDraws { draws: kept.to_string(), most: MOST_KEPT });
            return None;
        }
        for (result, found) in self.propagation.results.iter().zip(&self.plan.results) {
            if !matches!(found, Some(Operand::Column(_))) {
                sink.push(result.value.span, &NothingToDraw { name: self.name(&result.value) });
            }
        }
        let mut samplers = self.plan.samplers(self.propagation.seed);
        let mut columns = Columns::new(self.plan.columns);
        let mut tallies = vec![Tally::default(); self.plan.results.len()];
        let mut out = vec![0; self.plan.watched.len() + 1];
        let (adaptive, run) = match asked {
            Draws::Fixed(draws) => (false, draws.div_ceil(RUNS).max(least)),
            Draws::UpTo(_) => (true, RUN.max(least)),
        };
        let mut made = 0;
        let mut steady = !adaptive;
        while moving > 0 && made < most {
            let length = run.min(most - made);
            let before: Vec<usize> = tallies.iter().map(|tally| tally.draws.len()).collect();
            let mut left = length;
            while left > 0 {
                let block = left.min(BLOCK);
                columns.begin(block);
                columns.run(&self.plan.steps, &mut samplers);
                self.keep(&columns, block, &mut tallies, &mut out);
                left -= block;
            }
            made += length;
            for (tally, before) in tallies.iter_mut().zip(before) {
                let mut fresh = tally.draws.get(before..).unwrap_or_default().to_vec();
                let moments = Moments::of(&fresh);
                tally.all.add(moments);
                fresh.sort_unstable_by(f64::total_cmp);
                // A last run cut short would have an interval of its own kind.
                if length == run
                    && let Some((low, high)) = self.interval(&fresh)
                {
                    let found = [moments.mean, moments.deviation().unwrap_or(0.0), low, high];
                    tally.runs.iter_mut().zip(found).for_each(|(run, found)| run.add(Moments::of(&[found])));
                }
            }
            if adaptive && self.settled(&tallies) {
                steady = true;
                break;
            }
        }
        Some(self.finish(tallies, made, &out, adaptive, steady, sink))
    }

    fn interval(&self, sorted: &[f64]) -> Option<(f64, f64)> {
        let which = if self.propagation.shortest { Interval::Shortest } else { Interval::Symmetric };
        coverage_interval(sorted, self.propagation.level, which)
    }

    fn name(&self, tree: &crate::model::tree::Tree) -> String {
        match &tree.form {
            crate::model::tree::TreeForm::Entry(id) => self.model.entry(*id).name.clone(),
            _ => "this".into(),
        }
    }

    // Takes over the draws of a block in which everything came to a number and no limit was passed.
    fn keep(&self, columns: &Columns, block: usize, tallies: &mut [Tally], out: &mut [usize]) {
        let mut reason: Vec<Option<usize>> = vec![None; block];
        let mut blame = |draw: usize, why: usize| {
            if let Some(reason) = reason.get_mut(draw) {
                reason.get_or_insert(why);
            }
        };
        for (number, watch) in self.plan.watched.iter().enumerate() {
            let mut left = vec![0.0; block];
            columns.each(watch.left, |draw, value| left.get_mut(draw).into_iter().for_each(|left| *left = value));
            columns.each(watch.right, |draw, right| {
                if left.get(draw).is_some_and(|left| passed(watch, *left, right)) {
                    blame(draw, number);
                }
            });
        }
        for result in self.plan.results.iter().flatten() {
            columns.each(*result, |draw, value| {
                if !value.is_finite() {
                    blame(draw, self.plan.watched.len());
                }
            });
        }
        for why in reason.iter().flatten() {
            out.get_mut(*why).into_iter().for_each(|count| *count += 1);
        }
        for (tally, result) in tallies.iter_mut().zip(&self.plan.results) {
            let Some(result @ Operand::Column(_)) = result else { continue };
            columns.each(*result, |draw, value| {
                if reason.get(draw) == Some(&None) {
                    tally.draws.push(value);
                }
            });
        }
    }

    // The fewest degrees of freedom among the sources of a result: its draws have no mean at one, no deviation at two.
    fn fewest_degrees(&self, place: usize) -> f64 {
        let degrees = self.evaluation.parts(place).iter().filter_map(|(number, part)| {
            if *part == 0.0 {
                return None;
            }
            match drawn_from(self.evaluation, *number) {
                Distribution::Student(degrees) => Some(degrees),
                _ => None,
            }
        });
        degrees.fold(f64::INFINITY, f64::min)
    }

    fn tolerance(&self, tally: &Tally, place: usize) -> f64 {
        let drawn = tally.all.deviation().filter(|_| self.fewest_degrees(place) > 2.0);
        let uncertainty = drawn.unwrap_or_else(|| self.evaluation.at(place).map_or(0.0, |measured| measured.uncertainty));
        tolerance(uncertainty, self.propagation.digits)
    }

    // What of a result is farthest from steady: its name, twice its scatter, and the tolerance.
    fn shakiest(&self, tally: &Tally, place: usize) -> Option<(&'static str, f64, f64)> {
        let tolerance = self.tolerance(tally, place);
        let degrees = self.fewest_degrees(place);
        let names = ["mean", "standard uncertainty", "lower end", "upper end"];
        let asked = [degrees > 2.0, degrees > 4.0, true, true];
        let scatters = tally.runs.iter().zip(names).zip(asked).filter(|(_, asked)| *asked);
        let scatters = scatters.map(|((runs, name), _)| (name, 2.0 * runs.of_mean().unwrap_or(f64::INFINITY), tolerance));
        scatters.max_by(|a, b| a.1.total_cmp(&b.1)).filter(|(_, scatter, tolerance)| scatter > tolerance)
    }

    // Each result that is drawn, with its place.
    fn moving<'t>(&self, tallies: &'t [Tally]) -> Vec<(usize, usize, &'t Tally)> {
        let found = tallies.iter().zip(&self.plan.results).zip(self.places).enumerate();
        found
            .filter(|(_, ((_, result), _))| matches!(result, Some(Operand::Column(_))))
            .filter_map(|(at, ((tally, _), place))| Some((at, (*place)?, tally)))
            .filter(|(_, place, tally)| !self.still(tally, *place))
            .collect()
    }

    fn settled(&self, tallies: &[Tally]) -> bool {
        self.moving(tallies).into_iter().all(|(_, place, tally)| {
            let [_, _, low, high] = &tally.runs;
            let steady = low.count >= FEWEST && self.shakiest(tally, place).is_none();
            let tolerance = self.tolerance(tally, place);
            let (low_scatter, high_scatter) = (low.of_mean().unwrap_or(f64::INFINITY), high.of_mean().unwrap_or(f64::INFINITY));
            // A fifth of the tolerance is what the document wants of draws that confirm anything (8.2).
            let fine = 2.0 * low_scatter.max(high_scatter) <= tolerance / 5.0;
            steady && (fine || !self.hangs((low.mean, high.mean), (low_scatter, high_scatter), tolerance, place))
        })
    }

    // Whether the verdict on the first-order interval hangs on the scatter of the draws.
    fn hangs(&self, ends: (f64, f64), scatter: (f64, f64), tolerance: f64, place: usize) -> bool {
        let Some(first) = self.first_order(place) else { return false };
        let (low, high) = first.interval();
        let sure = |apart: f64, scatter: f64| ((apart - tolerance).abs() > 2.0 * scatter, apart > tolerance);
        let (below, above) = (sure((low - ends.0).abs(), scatter.0), sure((high - ends.1).abs(), scatter.1));
        let refused = below == (true, true) || above == (true, true);
        !(refused || below.0 && above.0)
    }

    // The value of the sheet, expanded to the level as results are (JCGM 100:2008, G.4).
    fn first_order(&self, place: usize) -> Option<FirstOrder> {
        let found = self.evaluation.first_order(place)?;
        let coverage = found.coverage(CoverageRule::Level(self.propagation.level));
        Some(FirstOrder { value: found.value, uncertainty: found.uncertainty, factor: coverage.k, degrees: coverage.degrees() })
    }

    // Whether the draws of a result differ by rounding alone: its doubts cancel.
    fn still(&self, tally: &Tally, place: usize) -> bool {
        let size = self.evaluation.sizes.get(place).copied().unwrap_or(0.0);
        tally.all.deviation().is_some_and(|deviation| residue::is_rounding(deviation, size))
    }

    // The inputs that are drawn together, and those of them whose doubts were stated with another shape than the normal.
    fn together(&self) -> (Vec<String>, Vec<String>) {
        let sources = self.evaluation.program.sources.iter();
        let other: BTreeSet<usize> =
            sources.filter(|source| distribution(source) != Distribution::Normal).map(|source| source.entry).collect();
        let name = |entry: &usize| self.model.entry(EntryId(*entry)).name.clone();
        let together = &self.plan.together;
        (together.iter().map(name).collect(), together.intersection(&other).map(name).collect())
    }

    fn finish(&self, tallies: Vec<Tally>, made: usize, out: &[usize], adaptive: bool, steady: bool, sink: &mut Sink) -> Propagated {
        let count = |number: usize| crate::units::places(number as f64, 0);
        for (at, place, tally) in self.moving(&tallies) {
            if let (true, Some(result), Some((what, scatter, tolerance))) =
                (!steady, self.propagation.results.get(at), self.shakiest(tally, place))
            {
                let printed = |si: f64| printed_for_reader(&result.value, si);
                let finding = DrawsUnsteady {
                    draws: count(made),
                    name: self.name(&result.value),
                    what: what.into(),
                    scatter: if scatter.is_finite() { printed(scatter) } else { "not known from one run".into() },
                    tolerance: printed(tolerance),
                };
                sink.push(result.value.span, &finding);
            }
        }
        let still = tallies.iter().zip(&self.plan.results).zip(self.places).zip(&self.propagation.results);
        for (((tally, found), place), result) in still {
            if matches!(found, Some(Operand::Column(_))) && place.is_some_and(|place| self.still(tally, place)) {
                sink.push(result.value.span, &NothingToDraw { name: self.name(&result.value) });
            }
        }
        let mut left_out: Vec<(usize, String)> = Vec::new();
        let machines = self.plan.watched.iter().map(|watch| format!("{}: {}", watch.machine, watch.says));
        let reasons = machines.chain(["a result came to no number".to_string()]);
        // A machine has one place on the sheet for each of its states, and its limits stand in all of them.
        for (number, reason) in out.iter().zip(reasons).filter(|(number, _)| **number > 0) {
            match left_out.iter_mut().find(|(_, other)| *other == reason) {
                Some((count, _)) => *count += number,
                None => left_out.push((*number, reason)),
            }
        }
        for (number, reason) in &left_out {
            let share = format!("{} %", crate::units::significant(100.0 * *number as f64 / made as f64, 2));
            sink.push(self.propagation.span, &DrawsLeftOut { count: count(*number), share, reason: reason.clone() });
        }
        let kept = made - out.iter().sum::<usize>();
        let mut results = vec![None; tallies.len()];
        let found: Vec<(usize, Option<Drawn>)> =
            self.moving(&tallies).into_iter().map(|(at, place, tally)| (at, self.drawn(tally, place))).collect();
        for (at, drawn) in found {
            results.get_mut(at).into_iter().for_each(|result| *result = drawn.clone());
        }
        let (together, reshaped) = self.together();
        Propagated { results, draws: made, kept, left_out, adaptive, steady, together, reshaped, fitted: self.plan.fitted }
    }

    fn drawn(&self, tally: &Tally, place: usize) -> Option<Drawn> {
        let mut sorted = tally.draws.clone();
        sorted.sort_unstable_by(f64::total_cmp);
        let interval = self.interval(&sorted)?;
        let first = self.first_order(place)?;
        let tolerance = self.tolerance(tally, place);
        let (low, high) = first.interval();
        let apart = ((low - interval.0).abs(), (high - interval.1).abs());
        // Where doubts cancel but for rounding, nothing is apart.
        let confirmed = apart.0 <= tolerance && apart.1 <= tolerance;
        let [_, _, low_runs, high_runs] = &tally.runs;
        // The ends of a shortest interval settle by the cube root of the number of draws, not by its square root: where
        // many intervals are nearly as short, a few draws decide between them.
        let of_all = |runs: &Moments| match self.propagation.shortest {
            true => runs.deviation().map(|deviation| deviation / libm::cbrt(runs.count)),
            false => runs.of_mean(),
        };
        let scatter = of_all(low_runs).zip(of_all(high_runs));
        let degrees = self.fewest_degrees(place);
        Some(Drawn {
            mean: (degrees > 1.0).then_some(tally.all.mean),
            uncertainty: tally.all.deviation().filter(|_| degrees > 2.0),
            interval,
            scatter,
            tolerance,
            first,
            apart,
            confirmed,
            close: scatter.is_some_and(|scatter| self.hangs(interval, scatter, tolerance, place)),
            sorted,
        })
    }
}

// Whether a limit is passed, rounding aside.
fn passed(watch: &Watch, left: f64, right: f64) -> bool {
    let rounding = 1e-12 * left.abs().max(right.abs());
    match watch.relation {
        Relation::AtMost | Relation::Below => left > right + rounding,
        Relation::AtLeast | Relation::Above => left < right - rounding,
        Relation::Equal => (left - right).abs() > rounding,
    }
}
