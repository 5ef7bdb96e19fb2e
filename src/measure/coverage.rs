//! From a standard uncertainty to an interval: effective degrees of freedom and the coverage factor (JCGM 100:2008, annex G).

use crate::measure::doubt::combine;
use crate::measure::quantiles::coverage_factor;
use std::collections::BTreeMap;

/// The level of two standard deviations of a normal distribution, at which k = 2 (JCGM 100:2008, table G.1).
pub const TWO_DEVIATIONS: f64 = 0.954_499_736_103_641_6;

/// How results are expanded.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum CoverageRule {
    /// By one factor, whatever the degrees of freedom.
    Factor(f64),
    /// To a level of confidence, above 0 and below 1, by Student's t.
    Level(f64),
}

impl Default for CoverageRule {
    fn default() -> Self {
        CoverageRule::Factor(2.0)
    }
}

/// What is known of the degrees of freedom of a combined standard uncertainty.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub enum Freedom {
    /// Endless.
    #[default]
    Endless,
    /// So many, unrounded, by the formula of Welch and Satterthwaite.
    Effective(f64),
    /// Not combined: the formula wants independent contributions, and some of these are correlated.
    Correlated,
}

/// A coverage factor with what it stands for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Coverage {
    /// The factor.
    pub k: f64,
    /// The level it was chosen for; none where a factor was stated.
    pub level: Option<f64>,
    /// The degrees of freedom.
    pub freedom: Freedom,
}

impl Coverage {
    /// The factor by `rule`. The degrees of freedom are rounded to one decimal and truncated to the next lower integer
    /// (JCGM 100:2008, G.4.1, note 1, and its example, which takes 19 for 18.99); below one they are taken as they are.
    pub fn new(rule: CoverageRule, freedom: Freedom) -> Coverage {
        match rule {
            CoverageRule::Factor(k) => Coverage { k, level: None, freedom },
            CoverageRule::Level(level) => {
                let normal = if level == TWO_DEVIATIONS { 2.0 } else { coverage_factor(level, None).unwrap_or(2.0) };
                let k = match freedom {
                    Freedom::Endless | Freedom::Correlated => normal,
                    Freedom::Effective(degrees) => coverage_factor(level, Some(truncated(degrees))).unwrap_or(normal),
                };
                Coverage { k, level: Some(level), freedom }
            }
        }
    }

    /// The degrees of freedom that the factor was taken for; none when they are endless or were not combined.
    pub fn degrees(&self) -> Option<f64> {
        match self.freedom {
            Freedom::Effective(degrees) => Some(truncated(degrees)),
            Freedom::Endless | Freedom::Correlated => None,
        }
    }
}

fn truncated(degrees: f64) -> f64 {
    let rounded = libm::round(degrees * 10.0) / 10.0;
    if rounded < 1.0 { degrees } else { libm::trunc(rounded) }
}

impl CoverageRule {
    /// The factor for endless degrees of freedom.
    pub fn usual(self) -> f64 {
        Coverage::new(self, Freedom::Endless).k
    }
}

/// The factor that covers the share `level` of a rectangle, where one of standard uncertainty `largest` outweighs everything else
/// in the combined standard uncertainty `whole` (EA-4/02 M, supplement S9): the rest is no more than three tenths of it.
pub fn dominated(level: f64, largest: f64, whole: f64) -> Option<f64> {
    let rest = libm::sqrt((whole * whole - largest * largest).max(0.0));
    (rest <= 0.3 * largest.abs() && largest != 0.0).then(|| level * libm::sqrt(3.0))
}

/// One contribution to a combined standard uncertainty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contribution {
    /// Sensitivity times standard uncertainty.
    pub part: f64,
    /// Degrees of freedom; endless when there are none.
    pub degrees: Option<f64>,
    /// The estimate of variance it rests on, when others rest on the same.
    pub pool: Option<usize>,
}

/// The effective degrees of freedom u⁴ / Σ part⁴/ν (Welch and Satterthwaite; JCGM 100:2008, G.2b). Contributions of one pool
/// are put together first: one estimate of variance behind all of them leaves them its own degrees of freedom.
pub fn effective_degrees(contributions: impl IntoIterator<Item = Contribution>) -> Freedom {
    let mut parts: Vec<(f64, Option<f64>)> = Vec::new();
    let mut pools: BTreeMap<usize, (Vec<f64>, Option<f64>)> = BTreeMap::new();
    for contribution in contributions {
        match contribution.pool {
            None => parts.push((contribution.part, contribution.degrees)),
            Some(pool) => pools.entry(pool).or_insert((Vec::new(), contribution.degrees)).0.push(contribution.part),
        }
    }
    parts.extend(pools.into_values().map(|(pooled, degrees)| (combine(&pooled), degrees)));
    let whole = combine(parts.iter().map(|(part, _)| part));
    if whole <= 0.0 || !whole.is_finite() {
        return Freedom::Endless;
    }
    let sum: f64 = parts.iter().filter_map(|(part, degrees)| Some(libm::pow(part / whole, 4.0) / (*degrees)?)).sum();
    if sum > 0.0 { Freedom::Effective(1.0 / sum) } else { Freedom::Endless }
}

#[cfg(test)]
mod tests {
    use super::{Contribution, Coverage, CoverageRule, Freedom, TWO_DEVIATIONS, effective_degrees};

    fn degrees(parts: &[(f64, f64)]) -> f64 {
        let contribution = |(part, degrees): &(f64, f64)| Contribution { part: *part, degrees: Some(*degrees), pool: None };
        match effective_degrees(parts.iter().map(contribution)) {
            Freedom::Effective(degrees) => degrees,
            _ => f64::INFINITY,
        }
    }

    // JCGM 100:2008, G.4.1 (memory): a product of three inputs with relative standard uncertainties 0.25 %, 0.57 % and 0.82 %
    // from 10, 5 and 15 readings has 1.03 % with 19.0 degrees of freedom; t at 95 % is 2.09.
    #[test]
    fn the_example_of_three_factors_closes() {
        let found = degrees(&[(0.25, 9.0), (0.57, 4.0), (0.82, 14.0)]);
        assert!((found - 18.99).abs() < 0.01, "{found}");
        let coverage = Coverage::new(CoverageRule::Level(0.95), Freedom::Effective(found));
        assert_eq!(coverage.degrees(), Some(19.0));
        assert!((coverage.k - 2.09).abs() < 0.005, "{}", coverage.k);
    }

    // JCGM 100:2008, H.1.6 (memory): 16.7 degrees of freedom are truncated to 16, and t at 99 % is 2.92.
    #[test]
    fn the_end_gauge_keeps_the_lower_whole_number() {
        let coverage = Coverage::new(CoverageRule::Level(0.99), Freedom::Effective(16.75));
        assert_eq!(coverage.degrees(), Some(16.0));
        assert!((coverage.k - 2.92).abs() < 0.005, "{}", coverage.k);
    }

    #[test]
    fn one_estimate_of_variance_keeps_its_degrees_of_freedom() {
        let pooled = |part: f64| Contribution { part, degrees: Some(9.0), pool: Some(3) };
        // Slope and centroid of one fit: however they share the doubt, nine degrees of freedom remain.
        let found = |contributions: [Contribution; 2]| match effective_degrees(contributions) {
            Freedom::Effective(degrees) => degrees,
            _ => f64::INFINITY,
        };
        approx::assert_relative_eq!(found([pooled(3.0), pooled(4.0)]), 9.0, max_relative = 1e-14);
        let apart = found([3.0, 4.0].map(|part| Contribution { part, degrees: Some(9.0), pool: None }));
        // By hand: 5⁴ / (3⁴/9 + 4⁴/9), which is 5625/337.
        approx::assert_relative_eq!(apart, 5625.0 / 337.0, max_relative = 1e-14);
    }

    #[test]
    fn without_degrees_of_freedom_two_is_two() {
        let rule = CoverageRule::Level(TWO_DEVIATIONS);
        assert_eq!(Coverage::new(rule, Freedom::Endless).k, 2.0);
        assert_eq!(Coverage::new(rule, Freedom::Correlated).k, 2.0);
        assert_eq!(Coverage::new(CoverageRule::default(), Freedom::Effective(3.0)).k, 2.0);
        assert_eq!(Coverage::new(CoverageRule::Factor(3.0), Freedom::Effective(2.0)).k, 3.0);
        // EA-4/02, table E.1: k for about 95.45 % is 2.65 (also printed 2.649) with 5 degrees of freedom, 13.97 with 1 (memory).
        for (degrees, k) in [(1.0, 13.97), (5.0, 2.65), (10.0, 2.28), (50.0, 2.05)] {
            let found = Coverage::new(rule, Freedom::Effective(degrees)).k;
            assert!((found - k).abs() < 0.006, "{degrees}: {found}");
        }
        assert_eq!(effective_degrees([Contribution { part: 1.0, degrees: None, pool: None }]), Freedom::Endless);
    }
}
