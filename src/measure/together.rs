//! Doubts that go together: correlations of sources, put as shares of independent ones (JCGM 100:2008, 5.2.2 and C.3.6).

use crate::measure::doubt::combine;
use std::collections::{BTreeMap, BTreeSet};

/// The lower triangle L with L Lᵀ = the matrix of correlations `matrix`, row by row, each up to its diagonal.
///
/// # Errors
/// The first row that makes the matrix other than positive semidefinite. Coefficients may be off by some thousandths of a
/// millionth, as worked ones are.
pub fn triangle(matrix: &[Vec<f64>]) -> Result<Vec<Vec<f64>>, usize> {
    const ROUNDING: f64 = 1e-9;
    let mut rows: Vec<Vec<f64>> = Vec::with_capacity(matrix.len());
    for (at, row) in matrix.iter().enumerate() {
        let mut made: Vec<f64> = Vec::with_capacity(at + 1);
        for (above, other) in rows.iter().enumerate() {
            let so_far: f64 = made.iter().zip(other).map(|(a, b)| a * b).sum();
            let pivot = other.get(above).copied().unwrap_or(0.0);
            let left = row.get(above).copied().unwrap_or(0.0) - so_far;
            if pivot > 0.0 {
                made.push(left / pivot);
            } else if left.abs() <= libm::sqrt(ROUNDING) {
                made.push(0.0);
            } else {
                return Err(at);
            }
        }
        let left = row.get(at).copied().unwrap_or(1.0) - made.iter().map(|part| part * part).sum::<f64>();
        if left < -ROUNDING {
            return Err(at);
        }
        made.push(if left <= ROUNDING { 0.0 } else { libm::sqrt(left) });
        rows.push(made);
    }
    Ok(rows)
}

/// From where to where the correlation of the last two rows of `matrix` may lie, all others held fast. None when the
/// others are impossible already.
pub fn bounds_of_last(matrix: &[Vec<f64>]) -> Option<(f64, f64)> {
    let count = matrix.len();
    let mut open = matrix.to_vec();
    *open.get_mut(count.checked_sub(1)?)?.get_mut(count.checked_sub(2)?)? = 0.0;
    let upper = triangle(open.get(..count - 1)?).ok()?;
    // The last row as far as the one before it, whose own share of it is what is asked for.
    let mut others: Vec<Vec<f64>> = open.get(..count - 2)?.to_vec();
    others.push(open.get(count - 1)?.iter().enumerate().filter(|(at, _)| *at != count - 2).map(|(_, r)| *r).collect());
    let last = triangle(&others).ok()?.pop()?;
    let (near, own) = (upper.last()?.split_last()?, last.split_last()?);
    let middle: f64 = near.1.iter().zip(own.1).map(|(a, b)| a * b).sum();
    let reach = near.0 * own.0;
    Some(((middle - reach).max(-1.0), (middle + reach).min(1.0)))
}

/// Which sources of doubt go together, and how.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Joint {
    // For each source that goes together with others, its input and its share of each independent doubt.
    shares: BTreeMap<usize, (usize, Vec<(usize, f64)>)>,
    // The pairs of inputs with a correlation other than nothing.
    pairs: BTreeSet<(usize, usize)>,
    independent: usize,
}

impl Joint {
    /// Adds a group of inputs that go together. `triangle` as [`triangle`] gives it, a row for each input; `inputs` holds the
    /// number of each input with its sources and their standard uncertainties. `pairs` are the inputs that are correlated.
    pub fn add(&mut self, triangle: &[Vec<f64>], inputs: &[(usize, Vec<(usize, f64)>)], pairs: impl Iterator<Item = (usize, usize)>) {
        for (row, (input, sources)) in triangle.iter().zip(inputs) {
            let whole = combine(sources.iter().map(|(_, u)| u));
            if whole <= 0.0 {
                continue;
            }
            for (source, u) in sources {
                let shares = row.iter().enumerate().map(|(at, share)| (self.independent + at, share * u / whole));
                self.shares.insert(*source, (*input, shares.filter(|(_, share)| *share != 0.0).collect()));
            }
        }
        self.pairs.extend(pairs.map(|(a, b)| (a.min(b), a.max(b))));
        self.independent += triangle.len();
    }

    /// What a source that goes together with others has of each independent doubt, by its number; none for any other source.
    pub fn shares(&self, source: usize) -> Option<&[(usize, f64)]> {
        self.shares.get(&source).map(|(_, shares)| shares.as_slice())
    }

    /// Whether no source goes together with another.
    pub fn is_empty(&self) -> bool {
        self.shares.is_empty()
    }

    /// The combined standard uncertainty of what a value owes to each source (JCGM 100:2008, equation 16).
    pub fn combine(&self, row: &[(usize, f64)]) -> f64 {
        if self.is_empty() || !row.iter().any(|(source, _)| self.shares.contains_key(source)) {
            return combine(row.iter().map(|(_, part)| part));
        }
        let mut own: Vec<f64> = Vec::new();
        let mut shared: BTreeMap<usize, f64> = BTreeMap::new();
        for (source, part) in row {
            match self.shares.get(source) {
                None => own.push(*part),
                Some((_, shares)) => shares.iter().for_each(|(at, share)| *shared.entry(*at).or_default() += part * share),
            }
        }
        // What cancels leaves the rounding of its terms, which is no doubt.
        let greatest = row.iter().map(|(_, part)| part.abs()).fold(0.0, f64::max);
        own.extend(shared.into_values().filter(|part| part.abs() > 1e-13 * greatest));
        combine(&own)
    }

    /// Whether two inputs that are correlated both have a part in `row`.
    pub fn correlates(&self, row: &[(usize, f64)]) -> bool {
        if self.is_empty() {
            return false;
        }
        let inputs: BTreeSet<usize> = row.iter().filter_map(|(source, _)| self.shares.get(source).map(|(input, _)| *input)).collect();
        self.pairs.iter().any(|(a, b)| inputs.contains(a) && inputs.contains(b))
    }
}

#[cfg(test)]
mod tests {
    use super::{Joint, bounds_of_last, triangle};
    use approx::assert_relative_eq;

    fn matrix(ab: f64, ac: f64, bc: f64) -> Vec<Vec<f64>> {
        vec![vec![1.0, ab, ac], vec![ab, 1.0, bc], vec![ac, bc, 1.0]]
    }

    // JCGM 100:2008, H.2, table H.2: V, I and phi with their correlations as printed, all from memory. By equation 16 the
    // impedance V/I has 0.236 ohm; from these rounded figures it comes to 0.2366029718, recomputed with mpmath.
    #[test]
    fn correlated_inputs_combine_as_the_guide_has_it() {
        let rows = triangle(&matrix(-0.36, 0.86, -0.65)).unwrap();
        let (volt, ampere) = (4.999_f64, 0.019661_f64);
        let (u, v) = (0.0032, 9.5e-6);
        let mut joint = Joint::default();
        joint.add(&rows, &[(0, vec![(0, u)]), (1, vec![(1, v)]), (2, vec![(2, 0.00075)])], [(0, 1), (0, 2), (1, 2)].into_iter());
        let row = [(0, u / ampere), (1, -volt / (ampere * ampere) * v)];
        assert_relative_eq!(joint.combine(&row), 0.2366029718, max_relative = 1e-9);
        assert!(joint.correlates(&row) && !joint.correlates(&row[..1]));
        // A source of its own beside them adds by its square.
        let beside = joint.combine(&[row[0], row[1], (7, 0.5)]);
        assert_relative_eq!(beside, libm::hypot(0.2366029718, 0.5), max_relative = 1e-9);
    }

    // JCGM 100:2008, 5.2.2, note 1: with correlations of 1 the uncertainty is the sum of the contributions, with their signs.
    #[test]
    fn what_goes_entirely_together_adds_and_cancels() {
        let rows = triangle(&[vec![1.0, 1.0], vec![1.0, 1.0]]).unwrap();
        let mut joint = Joint::default();
        // The first input has two sources of its own, of 3 and 4: a standard uncertainty of 5.
        joint.add(&rows, &[(0, vec![(0, 3.0), (1, 4.0)]), (1, vec![(2, 5.0)])], [(0, 1)].into_iter());
        assert_relative_eq!(joint.combine(&[(0, 3.0), (1, 4.0), (2, 5.0)]), 10.0, max_relative = 1e-14);
        assert_eq!(joint.combine(&[(0, -3.0), (1, -4.0), (2, 5.0)]), 0.0);
        assert_relative_eq!(joint.combine(&[(0, 3.0), (1, 4.0)]), 5.0, max_relative = 1e-14);
    }

    #[test]
    fn what_cannot_be_is_told_with_the_row_and_the_bounds() {
        assert_eq!(triangle(&matrix(0.9, 0.9, -0.9)), Err(2));
        assert_eq!(triangle(&[vec![1.0, 1.1], vec![1.1, 1.0]]), Err(1));
        // r13 r23 ± the root of (1 - r13²)(1 - r23²), the textbook bounds of a third coefficient.
        let (low, high) = bounds_of_last(&matrix(0.9, 0.9, -0.9)).unwrap();
        assert_relative_eq!(low, 0.81 - 0.19, max_relative = 1e-12);
        assert_relative_eq!(high, 1.0, max_relative = 1e-12);
        let (low, high) = bounds_of_last(&matrix(0.0, 0.6, 0.0)).unwrap();
        assert_relative_eq!(high, 0.8, max_relative = 1e-12);
        assert_relative_eq!(low, -0.8, max_relative = 1e-12);
        assert_eq!(bounds_of_last(&[vec![1.0, 3.0], vec![3.0, 1.0]]), Some((-1.0, 1.0)));
    }
}
