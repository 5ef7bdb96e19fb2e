//! What many draws of a quantity say of it: mean, deviation, coverage intervals (JCGM 101:2008, 7.6 and 7.7).

/// Mean and deviation of numbers that come in parts, put together as by Chan, Golub and LeVeque (1983).
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Moments {
    /// How many.
    pub count: f64,
    /// Their mean.
    pub mean: f64,
    squares: f64,
}

impl Moments {
    /// Of `values`, twice through them.
    pub fn of(values: &[f64]) -> Moments {
        let Some(first) = values.first() else { return Moments::default() };
        let count = values.len() as f64;
        let mean = first + values.iter().map(|value| value - first).sum::<f64>() / count;
        let squares = values.iter().map(|value| (value - mean) * (value - mean)).sum();
        Moments { count, mean, squares }
    }

    /// Takes in what was found of others.
    pub fn add(&mut self, other: Moments) {
        let count = self.count + other.count;
        if count == 0.0 {
            return;
        }
        let apart = other.mean - self.mean;
        self.squares += other.squares + apart * apart * self.count * other.count / count;
        self.mean += apart * other.count / count;
        self.count = count;
    }

    /// The standard deviation, with one less than their number; none of fewer than two.
    pub fn deviation(&self) -> Option<f64> {
        (self.count > 1.0).then(|| libm::sqrt(self.squares / (self.count - 1.0)))
    }

    /// The standard deviation of their mean.
    pub fn of_mean(&self) -> Option<f64> {
        self.deviation().map(|deviation| deviation / libm::sqrt(self.count))
    }
}

/// Which of the intervals that hold a share of the draws.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Interval {
    /// The shortest.
    Shortest,
    /// As many draws below it as above it.
    Symmetric,
}

/// The coverage interval of a level (7.7), of draws sorted from least to greatest; none where there are too few of them.
pub fn coverage_interval(sorted: &[f64], level: f64, interval: Interval) -> Option<(f64, f64)> {
    let count = sorted.len();
    let held = level * count as f64;
    // A level of ninety-five per cent is no number of the machine: so many draws are meant all the same.
    let held = if (held - libm::round(held)).abs() < 1e-6 { libm::round(held) } else { libm::floor(held + 0.5) } as usize;
    if held == 0 || held >= count {
        return None;
    }
    match interval {
        Interval::Symmetric => {
            let outside = count - held;
            let first = outside.div_ceil(2).max(1) - 1;
            Some((*sorted.get(first)?, *sorted.get(first + held)?))
        }
        Interval::Shortest => {
            let ends = sorted.iter().zip(sorted.iter().skip(held));
            let shortest = ends.min_by(|a, b| (a.1 - a.0).total_cmp(&(b.1 - b.0)));
            shortest.map(|(low, high)| (*low, *high))
        }
    }
}

/// The numerical tolerance of a standard uncertainty of which so many significant digits are meant: half a unit in the last
/// of them (JCGM 101:2008, 7.9.2). Nothing for nothing.
pub fn tolerance(uncertainty: f64, digits: i32) -> f64 {
    if !(uncertainty > 0.0 && uncertainty.is_finite()) {
        return 0.0;
    }
    let place = |power: i32| libm::pow(10.0, f64::from(power));
    let power = libm::floor(libm::log10(uncertainty)) as i32 - digits + 1;
    // 0.0998 is 0.10 to two digits, and their last is then a place higher.
    let rounded = libm::round(uncertainty / place(power));
    let power = if rounded >= place(digits) { power + 1 } else { power };
    0.5 * place(power)
}

/// The least number of draws for an interval of that level: a hundred for every one outside it (JCGM 101:2008, 7.9.4).
pub fn least_draws(level: f64) -> usize {
    let least = 100.0 / (1.0 - level);
    // 100/(1 − 0.95) is 2000 and a residue.
    if (least - libm::round(least)).abs() < 1e-6 { libm::round(least) as usize } else { libm::ceil(least) as usize }
}

#[cfg(test)]
mod tests {
    use super::{Interval, Moments, coverage_interval, least_draws, tolerance};
    use approx::assert_relative_eq;

    // Counted by hand.
    #[test]
    fn intervals_hold_the_draws_that_are_asked_for() {
        let mut draws: Vec<f64> = (1..=100).map(f64::from).collect();
        // q = 95: the symmetric one leaves out 2 below (7.7.2: r = (M − q + 1)/2 cut to a whole number is 3).
        assert_eq!(coverage_interval(&draws, 0.95, Interval::Symmetric), Some((3.0, 98.0)));
        assert_eq!(coverage_interval(&draws, 0.95, Interval::Shortest), Some((1.0, 96.0)));
        draws[0] = -50.0;
        draws[99] = 500.0;
        assert_eq!(coverage_interval(&draws, 0.95, Interval::Shortest), Some((2.0, 97.0)));
        assert_eq!(coverage_interval(&draws, 0.999, Interval::Shortest), None);
        assert_eq!(coverage_interval(&[], 0.95, Interval::Symmetric), None);
    }

    // JCGM 101:2008, 7.9.2: 0.000 35 as 35 × 10⁻⁵ gives 0.000 005, 2 as 2 × 10⁰ gives 0.5 (from memory).
    #[test]
    fn the_tolerance_is_half_a_unit_of_the_last_digit_meant() {
        assert_relative_eq!(tolerance(0.00035, 2), 0.000005, max_relative = 1e-12);
        assert_relative_eq!(tolerance(2.0, 1), 0.5, max_relative = 1e-12);
        // The same document's 9.2.2 and 9.3: u = 2.0 to two digits 0.05, u = 0.08 to one digit 0.005.
        assert_relative_eq!(tolerance(2.0, 2), 0.05, max_relative = 1e-12);
        assert_relative_eq!(tolerance(0.0754, 1), 0.005, max_relative = 1e-12);
        assert_relative_eq!(tolerance(0.0998, 2), 0.005, max_relative = 1e-12);
        assert_relative_eq!(tolerance(0.096, 1), 0.05, max_relative = 1e-12);
        assert_eq!(tolerance(0.0, 2), 0.0);
        assert_eq!((least_draws(0.95), least_draws(0.99), least_draws(0.5)), (2000, 10_000, 200));
    }

    #[test]
    fn parts_put_together_are_the_whole() {
        let values: Vec<f64> = (0..999).map(|at| 1e6 + f64::from(at * at % 83)).collect();
        let whole = Moments::of(&values);
        let mut parts = Moments::default();
        values.chunks(100).for_each(|part| parts.add(Moments::of(part)));
        assert_relative_eq!(parts.mean, whole.mean, max_relative = 1e-15);
        assert_relative_eq!(parts.deviation().unwrap(), whole.deviation().unwrap(), max_relative = 1e-12);
        // 2, 4, 4, 4, 5, 5, 7, 9 has a mean of 5 and a sum of squares of 32 (a common textbook set).
        let few = Moments::of(&[2.0, 4.0, 4.0, 4.0, 5.0, 5.0, 7.0, 9.0]);
        assert_relative_eq!(few.deviation().unwrap(), (32.0_f64 / 7.0).sqrt(), max_relative = 1e-15);
        assert_eq!(Moments::of(&[3.0]).deviation(), None);
    }
}
