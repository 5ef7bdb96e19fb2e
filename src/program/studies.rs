//! `vary` and `size` worked: the sheet once for each value, results or the reason for none, and where everything holds.

use crate::diagnostics::Sink;
use crate::diagnostics::catalogue::studies::{RangeEmpty, RangeUpsideDown, ResultUnmoved, StepWrong, TooManyTrials};
use crate::measure::Measured;
use crate::model::studies::{Asks, Shown, Step, Study, Trials};
use crate::model::tree::Tree;
use crate::model::{Material, Model};
use crate::program::run::{Evaluation, printed_for_reader};
use crate::program::sizing::{Sized, Sizing};
use crate::program::trial::Bench;
use crate::source::{FileId, Span};

/// The most values one statement tries by a table.
pub const MOST: usize = 200;

/// Into how many steps a range is cut when nothing is said.
const STEPS: f64 = 12.0;

/// What came of a study.
#[derive(Debug, Clone, PartialEq)]
pub enum Outcome {
    /// Nothing: it has a fault, which has been put down, or rests on something that has.
    Nothing,
    /// The results of `vary`.
    Varied(Varied),
    /// The answer of `size`.
    Sized(Box<Sized>),
}

/// The results of `vary`.
#[derive(Debug, Clone, PartialEq)]
pub struct Varied {
    /// One row a value, in the order to print them.
    pub rows: Vec<VariedRow>,
    /// The present value, in SI units, when it has one.
    pub present: Option<f64>,
}

/// The results at one value.
#[derive(Debug, Clone, PartialEq)]
pub struct VariedRow {
    /// The value put in, in SI units.
    pub value: f64,
    /// Whether it is the present value.
    pub present: bool,
    /// Each result, or the reason why there is none.
    pub results: Vec<Result<Measured, String>>,
}

/// Works every study of `model`, of which `evaluation` came. Findings of trials are not told; those of the statements are.
pub fn study(root: FileId, material: &Material, model: &Model, evaluation: &Evaluation, sink: &mut Sink) -> Vec<Outcome> {
    let mut outcomes = Vec::new();
    for (at, study) in model.studies.iter().enumerate() {
        let outcome = Desk { model, evaluation, study, at }.work(root, material, sink);
        outcomes.push(outcome.unwrap_or(Outcome::Nothing));
    }
    outcomes
}

/// One study on the desk.
pub(super) struct Desk<'d> {
    pub(super) model: &'d Model,
    pub(super) evaluation: &'d Evaluation,
    pub(super) study: &'d Study,
    pub(super) at: usize,
}

/// The values to try.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Tries {
    /// These and no others.
    Each(Vec<f64>),
    /// Anything from the first to the second.
    Between(f64, f64),
    /// Anything, outward from the present value.
    Outward,
}

impl Desk<'_> {
    fn work(&self, root: FileId, material: &Material, sink: &mut Sink) -> Option<Outcome> {
        let tries = self.tries(sink)?;
        let shape = self.model.shapes(self.study.entry);
        let bench = Bench::new(root, material, self.model, self.study, shape, sink);
        match &self.study.asks {
            Asks::Results(results) => {
                let Tries::Each(values) = tries else { return None };
                Some(Outcome::Varied(self.vary(&bench, values, results, sink)))
            }
            Asks::Holds { goal, demands, every } => {
                let sizing = Sizing { desk: self, bench: &bench, shape, goal: *goal, demands, every: *every };
                sizing.work(tries, sink).map(|sized| Outcome::Sized(Box::new(sized)))
            }
        }
    }

    /// The present value, when it could be worked.
    pub(super) fn present(&self) -> Option<f64> {
        let values = self.evaluation.entry(self.study.entry)?;
        values.first().map(|found| found.value)
    }

    fn vary(&self, bench: &Bench<'_>, mut values: Vec<f64>, results: &[Shown], sink: &mut Sink) -> Varied {
        let present = self.present();
        let ranged = matches!(self.study.trials, Some(Trials::Between { .. }));
        if let Some(present) = present.filter(|_| ranged)
            && !values.iter().any(|value| same(*value, present))
            && let Some(after) = values.iter().position(|value| *value > present).filter(|after| *after > 0)
        {
            values.insert(after, present);
        }
        let rows: Vec<VariedRow> = values
            .into_iter()
            .map(|value| {
                let trial = bench.with(value);
                let results = (0..results.len()).map(|at| match trial.study() {
                    Some((study, places)) => match &study.asks {
                        Asks::Results(shown) => shown.get(at).map_or_else(
                            || Err(String::new()),
                            |shown| trial.value(&shown.value, places.results.get(at).copied().flatten()),
                        ),
                        Asks::Holds { .. } => Err(String::new()),
                    },
                    None => Err(trial.reason(&Tree::unknown(self.study.span))),
                });
                VariedRow { value, present: present.is_some_and(|present| same(value, present)), results: results.collect() }
            })
            .collect();
        let rests = self.model.resting_on(self.study.entry);
        for (at, shown) in results.iter().enumerate() {
            let found: Vec<f64> = rows.iter().filter_map(|row| row.results.get(at)?.as_ref().ok().map(|found| found.value)).collect();
            if !mentions(&shown.value, &rests) && unmoved(&found) {
                sink.push(shown.value.span, &ResultUnmoved { name: self.study.name.clone() });
            }
        }
        Varied { rows, present }
    }

    // The values to try, from numbers of the sheet as it stands.
    fn tries(&self, sink: &mut Sink) -> Option<Tries> {
        let sizes = matches!(self.study.asks, Asks::Holds { .. });
        let places = self.evaluation.program.studies.get(self.at)?;
        let value = |tree: &Tree, at: usize| {
            let place = places.trials.get(at).copied().flatten().filter(|_| self.evaluation.knows(tree));
            place.and_then(|place| self.evaluation.at(place)).map(|found| found.value)
        };
        match &self.study.trials {
            None => Some(Tries::Outward),
            Some(Trials::Listed(list)) => {
                let values: Vec<f64> = (0..places.trials.len()).map(|at| value(list, at)).collect::<Option<_>>()?;
                if values.is_empty() {
                    sink.push(list.span, &RangeEmpty { reason: "the list has no items".into() });
                    return None;
                }
                self.not_too_many(values.len() as f64, list.span, sink)?;
                Some(Tries::Each(values))
            }
            Some(Trials::Between { from, to, step }) => {
                let (first, last) = (value(from, 0)?, value(to, 1)?);
                let whole = Span { end: to.span.end.max(from.span.end), ..from.span };
                if first > last {
                    sink.push(whole, &RangeUpsideDown { from: printed_for_reader(from, first), to: printed_for_reader(to, last) });
                    return None;
                }
                if first == last {
                    sink.push(whole, &RangeEmpty { reason: format!("it begins and ends at {}", printed_for_reader(from, first)) });
                    return None;
                }
                let by = match step {
                    Some(Step::By(by)) => {
                        let step = value(by, 2)?;
                        let reason = if step == 0.0 {
                            "the step is nothing".to_string()
                        } else if step < 0.0 {
                            "the step leads away from the end of the range".into()
                        } else if step > (last - first) * (1.0 + 1e-9) {
                            format!("the step is longer than the range, {}", printed_for_reader(from, last - first))
                        } else {
                            String::new()
                        };
                        if !reason.is_empty() {
                            sink.push(by.span, &StepWrong { reason });
                            return None;
                        }
                        self.not_too_many((last - first) / step + 1.0, by.span, sink)?;
                        step
                    }
                    Some(Step::In(count, at)) => {
                        let step = (last - first) / count;
                        if *count < 1.0 || *count != libm::trunc(*count) {
                            sink.push(*at, &StepWrong { reason: "not a whole number of steps above zero".into() });
                            return None;
                        }
                        if self.study.whole && step != libm::trunc(step) {
                            sink.push(*at, &StepWrong { reason: "so many steps do not end on whole numbers".into() });
                            return None;
                        }
                        self.not_too_many(count + 1.0, *at, sink)?;
                        step
                    }
                    None if self.study.whole => {
                        self.not_too_many(last - first + 1.0, whole, sink)?;
                        1.0
                    }
                    None if sizes => return Some(Tries::Between(first, last)),
                    None => (last - first) / STEPS,
                };
                let count = libm::floor((last - first) / by * (1.0 + 1e-12) + 1e-9) as usize;
                let mut values: Vec<f64> = (0..=count).map(|at| first + at as f64 * by).collect();
                // Adding up steps leaves a residue; the end is the end that was written.
                if let Some(end) = values.last_mut().filter(|end| (**end - last).abs() <= 1e-9 * by) {
                    *end = last;
                }
                Some(Tries::Each(values))
            }
        }
    }

    fn not_too_many(&self, count: f64, span: Span, sink: &mut Sink) -> Option<()> {
        let whole = libm::floor(count + 1e-9);
        if whole <= MOST as f64 {
            return Some(());
        }
        sink.push(span, &TooManyTrials { count: crate::units::places(whole, 0), most: MOST });
        None
    }
}

/// Whether two values are one but for rounding.
pub(super) fn same(a: f64, b: f64) -> bool {
    (a - b).abs() <= 1e-9 * a.abs().max(b.abs())
}

/// Whether `tree` names an entry that is marked in `rests`.
pub(super) fn mentions(tree: &Tree, rests: &[bool]) -> bool {
    let mut does = false;
    tree.each_entry(&mut |id| does |= rests.get(id.0).copied().unwrap_or(false));
    does
}

/// Whether all of several values are one.
pub(super) fn unmoved(values: &[f64]) -> bool {
    values.first().is_some_and(|first| values.iter().all(|value| same(*first, *value)))
}
