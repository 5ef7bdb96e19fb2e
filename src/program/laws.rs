//! What came of a law: the line with its doubt at any load, what its parts have in common, and how its trials lie about it.

use crate::measure::{self, Coverage, CoverageRule, Freedom, Measured, TWO_DEVIATIONS};
use crate::model::tree::EntryId;
use crate::model::{Direction, Law};
use crate::program::lower::Program;
use crate::program::run::Evaluation;
use crate::syntax::ast::Meaning;

/// Where the parts of a law are found in the program.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LawPlaces {
    slope: usize,
    middle: usize,
    height: usize,
    no_load: usize,
}

impl LawPlaces {
    pub(super) fn of(law: &Law, program: &Program) -> Option<LawPlaces> {
        let place = |id: EntryId| program.entries.get(id.0)?.first().copied();
        Some(LawPlaces {
            slope: place(law.slope)?,
            middle: place(law.middle)?,
            height: place(law.height)?,
            no_load: place(law.no_load_effort)?,
        })
    }

    /// The operations whose rows are asked for by name.
    pub(super) fn asked(&self) -> [usize; 4] {
        [self.slope, self.middle, self.height, self.no_load]
    }
}

/// The line of a law at one load, in SI units.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OnLine {
    /// The effort.
    pub effort: f64,
    /// Its expanded uncertainty at the level of the sheet, or at 95.45 % where that states a factor, by Student's t where the
    /// scatter of the trials has a part in it.
    pub of_line: f64,
    /// The same for one new reading there; none for a line by stated doubts, which do not say how one reading scatters.
    pub of_reading: Option<f64>,
}

/// One trial beside the line.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TrialOnLine {
    /// The load.
    pub load: Measured,
    /// The effort.
    pub effort: Measured,
    /// The effort of the line at that load.
    pub of_law: f64,
    /// Effort less that.
    pub residual: f64,
    /// The efficiency of the trial, where a velocity ratio is known.
    pub efficiency: Option<f64>,
}

impl Evaluation {
    fn law_value(&self, id: EntryId) -> Option<f64> {
        self.entry(id)?.first().map(|found| found.value)
    }

    /// The line of the law at `at` of the model, at a load in SI units.
    pub fn on_line(&self, at: usize, law: &Law, load: f64) -> Option<OnLine> {
        let places = self.program.laws.get(at).copied().flatten()?;
        let (slope, middle, height) = (self.law_value(law.slope)?, self.law_value(law.middle)?, self.law_value(law.height)?);
        let off = load - middle;
        let shares = [(places.height, 1.0), (places.slope, off), (places.middle, -slope)];
        let mut parts = std::collections::BTreeMap::new();
        for (place, share) in shares {
            for (source, part) in self.parts(place) {
                *parts.entry(*source).or_insert(0.0) += share * part;
            }
        }
        let scattered = |source: &usize| self.program.sources.get(*source).is_some_and(|source| source.meaning == Meaning::Scatter);
        let all = measure::combine(parts.values());
        let scatter = measure::combine(&parts.iter().filter(|(source, _)| scattered(source)).map(|(_, part)| *part).collect::<Vec<_>>());
        let degrees = (!law.both).then_some(law.trials as f64 - 2.0);
        let (deviation, level) = (self.law_value(law.deviation)?, self.band_level());
        let of_reading = (!law.both).then(|| {
            let (all, scatter) = (libm::hypot(all, deviation), libm::hypot(scatter, deviation));
            factor(level, all, scatter, degrees) * all
        });
        Some(OnLine { effort: height + slope * off, of_line: factor(level, all, scatter, degrees) * all, of_reading })
    }

    /// The level of the bands of laws: that of the sheet, or of two standard deviations where it states a factor.
    pub fn band_level(&self) -> f64 {
        match self.coverage {
            CoverageRule::Level(level) => level,
            CoverageRule::Factor(_) => TWO_DEVIATIONS,
        }
    }

    /// The correlation of slope and no-load effort; none where either has no doubt.
    pub fn law_correlation(&self, at: usize) -> Option<f64> {
        let places = self.program.laws.get(at).copied().flatten()?;
        let (slope, no_load) = (self.parts(places.slope), self.parts(places.no_load));
        let product: f64 = slope
            .iter()
            .filter_map(|(source, part)| {
                let other = no_load.binary_search_by_key(source, |(source, _)| *source).ok()?;
                Some(part * no_load.get(other)?.1)
            })
            .sum();
        let sizes = measure::combine(slope.iter().map(|(_, part)| part)) * measure::combine(no_load.iter().map(|(_, part)| part));
        (sizes > 0.0).then(|| (product / sizes).clamp(-1.0, 1.0))
    }

    /// The trials of the law at `at`, in their order.
    pub fn law_trials(&self, at: usize, law: &Law) -> Option<Vec<TrialOnLine>> {
        let (loads, efforts) = (self.entry(law.loads)?, self.entry(law.efforts)?);
        let ratio = law.velocity_ratio.and_then(|id| self.law_value(id));
        loads
            .into_iter()
            .zip(efforts)
            .map(|(load, effort)| {
                let of_law = self.on_line(at, law, load.value)?.effort;
                let share = ratio.and_then(|ratio| work_share(law, load.value, ratio * effort.value));
                Some(TrialOnLine { load, effort, of_law, residual: effort.value - of_law, efficiency: share })
            })
            .collect()
    }

    /// The efficiency of the law at a load, where its velocity ratio is known.
    pub fn law_efficiency(&self, at: usize, law: &Law, load: f64) -> Option<f64> {
        let ratio = law.velocity_ratio.and_then(|id| self.law_value(id))?;
        let brought = ratio * self.on_line(at, law, load)?.effort;
        (brought > 0.0 && load > 0.0).then(|| work_share(law, load, brought)).flatten()
    }

    /// The chance of residuals as large as these or larger, where the stated doubts are all there is (chi-square).
    pub fn law_chance(&self, law: &Law) -> Option<f64> {
        let wider = self.law_value(law.deviation)?;
        let degrees = law.trials as f64 - 2.0;
        measure::chance_of_scatter(wider * wider * degrees, degrees)
    }
}

// Work got out over work put in, from the load and the effort brought to the same travel. When the load drives, the work is put in by it.
fn work_share(law: &Law, load: f64, brought: f64) -> Option<f64> {
    let share = match law.direction {
        _ if law.limiting_efficiency.is_none() => return None,
        Some(Direction::Lowering) => brought / load,
        Some(Direction::Raising | Direction::Holding) | None => load / brought,
    };
    share.is_finite().then_some(share)
}

// Student's t for the effective degrees of freedom (JCGM 100:2008, G.4), where the scatter is one estimate of variance.
fn factor(level: f64, all: f64, scatter: f64, degrees: Option<f64>) -> f64 {
    let share = scatter / all;
    let freedom = match degrees.filter(|_| share > 0.0) {
        Some(degrees) => Freedom::Effective(degrees / libm::pow(share, 4.0)),
        None => Freedom::Endless,
    };
    Coverage::new(CoverageRule::Level(level), freedom).k
}
