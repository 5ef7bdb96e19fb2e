//! Coverage factors from a level, and back: quantiles of the normal distribution and of Student's t.

use statrs::distribution::{ContinuousCDF, Normal, StudentsT};

/// Degrees of freedom from which on Student's t is taken from its expansion about the normal distribution.
const MANY: f64 = 2000.0;

/// The factor by which a standard uncertainty is multiplied to cover the share `level` of its distribution, both sides
/// alike: of Student's t with so many degrees of freedom (JCGM 100:2008 G.3.2), or of the normal distribution without.
///
/// `None` when the level is not above 0 and below 1, or the degrees of freedom are not above 0. Kept to eleven figures: the last
/// places of a logarithm are the machine's own, and no sheet may depend on them.
pub fn coverage_factor(level: f64, degrees: Option<f64>) -> Option<f64> {
    if !(level > 0.0 && level < 1.0) {
        return None;
    }
    // From the tail, which keeps its digits however near the level comes to one.
    let tail = (1.0 - level) / 2.0;
    let normal = -Normal::new(0.0, 1.0).ok()?.inverse_cdf(tail);
    let factor = match degrees {
        None => normal,
        Some(degrees) if degrees >= MANY && degrees.is_finite() => about_normal(normal, degrees),
        Some(degrees) if degrees > 0.0 && degrees.is_finite() => of_t(tail, degrees, normal)?,
        Some(_) => return None,
    };
    (factor > 0.0 && factor.is_finite()).then(|| format!("{factor:.10e}").parse().unwrap_or(factor))
}

/// The share of its distribution that `factor` standard uncertainties cover, both sides alike.
pub fn covered(factor: f64, degrees: Option<f64>) -> Option<f64> {
    let outside = match degrees {
        Some(degrees) => StudentsT::new(0.0, 1.0, degrees).ok()?.sf(factor),
        None => Normal::new(0.0, 1.0).ok()?.sf(factor),
    };
    let share = 1.0 - 2.0 * outside;
    share.is_finite().then(|| format!("{share:.9e}").parse().unwrap_or(share))
}

// Abramowitz and Stegun, 26.7.5, to the fourth power of 1/degrees: exact to a double for a level that anyone states.
fn about_normal(z: f64, degrees: f64) -> f64 {
    let square = z * z;
    let terms = [
        (square + 1.0) / 4.0,
        ((5.0 * square + 16.0) * square + 3.0) / 96.0,
        (((3.0 * square + 19.0) * square + 17.0) * square - 15.0) / 384.0,
        ((((79.0 * square + 776.0) * square + 1482.0) * square - 1920.0) * square - 945.0) / 92160.0,
    ];
    z * terms.iter().rev().fold(0.0, |sum, term| (sum + term) / degrees) + z
}

// The upper quantile of Student's t, held between bounds that close in on it: a search for it without bounds need not end.
fn of_t(tail: f64, degrees: f64, normal: f64) -> Option<f64> {
    let t = StudentsT::new(0.0, 1.0, degrees).ok()?;
    let (mut low, mut high) = (0.0, normal.max(1.0));
    while t.sf(high) > tail {
        (low, high) = (high, 4.0 * high);
        if !high.is_finite() {
            return None;
        }
    }
    for _ in 0..200 {
        // Far out in the tail the middle by size closes in faster.
        let middle = if low > 1.0 && high > 4.0 * low { libm::sqrt(low * high) } else { 0.5 * (low + high) };
        if middle <= low || middle >= high {
            break;
        }
        if t.sf(middle) > tail { low = middle } else { high = middle }
    }
    Some(0.5 * (low + high))
}

#[cfg(test)]
mod tests {
    use super::{coverage_factor, covered};

    // JCGM 100:2008 table G.2, to its two decimals: degrees of freedom, then the factors of 68.27 %, 90 %, 95 %, 95.45 %,
    // 99 % and 99.73 % (from memory).
    const TABLE: &[(f64, [f64; 6])] = &[
        (1.0, [1.84, 6.31, 12.71, 13.97, 63.66, 235.80]),
        (2.0, [1.32, 2.92, 4.30, 4.53, 9.92, 19.21]),
        (5.0, [1.11, 2.02, 2.57, 2.65, 4.03, 5.51]),
        (10.0, [1.05, 1.81, 2.23, 2.28, 3.17, 3.96]),
        (16.0, [1.03, 1.75, 2.12, 2.17, 2.92, 3.54]),
        (50.0, [1.01, 1.68, 2.01, 2.05, 2.68, 3.16]),
    ];
    // Student's t is wide at few degrees of freedom, so the levels are the unrounded ones of one, two and three deviations.
    const LEVELS: [f64; 6] = [0.682_689_492_137_1, 0.9, 0.95, 0.954_499_736_103_6, 0.99, 0.997_300_203_936_7];

    #[test]
    fn factors_of_students_t_are_those_of_the_guide() {
        for (degrees, row) in TABLE {
            for (level, printed) in LEVELS.iter().zip(row) {
                let found = coverage_factor(*level, Some(*degrees)).unwrap();
                assert!((found - printed).abs() <= 0.005 + 1e-9, "{degrees} at {level}: {found}, printed {printed}");
            }
        }
    }

    #[test]
    fn factors_agree_with_a_library_of_many_digits() {
        // Roots of the regularised incomplete beta function by mpmath at 25 digits; NIST TN 1297 appendix B prints 1.960.
        let cases = [
            (0.95, None, 1.959_963_984_540_054),
            (0.99, None, 2.575_829_303_548_901),
            (0.5, None, 0.674_489_750_196_081_7),
            (0.95, Some(12.0), 2.178812829667229),
            (0.95, Some(4.0), 2.776445105197794),
            (0.95, Some(21.0), 2.07961384472768),
            (0.99, Some(16.0), 2.9207816224251),
            (0.99, Some(2.0), 9.924843200918293),
            (0.95, Some(16.75), 2.112216902315132),
            (0.9, Some(1.0), 6.313751514675043),
            (0.95, Some(1000.0), 1.962339080826408),
            (0.95, Some(0.5), 164.557_673_480_488_53),
            (0.99, Some(5000.0), 2.576_812_966_556_281),
            (0.95, Some(1e6), 1.959_966_356_814_107),
        ];
        for (level, degrees, expected) in cases {
            let found = coverage_factor(level, degrees).unwrap();
            assert!((found / expected - 1.0).abs() < 1e-10, "{level} {degrees:?}: {found}, expected {expected}");
        }
    }

    // What a factor covers is the level it was taken for, whichever way the quantile is found, with fractions of a degree of
    // freedom, about the place where the expansion takes over, and far beyond: no search may run on.
    #[test]
    fn every_degree_of_freedom_has_its_factor_and_the_factor_its_level() {
        let degrees = [0.3, 0.99, 1.0, 1.5, 2.0, 3.7, 9.0, 16.75, 99.0, 655.2, 1999.9, 2000.0, 2000.1, 1e4, 123_456.7, 1e7, 1e12, 1e300];
        for level in [0.5, 0.6827, 0.9, 0.95, 0.954_499_736_103_641_6, 0.99, 0.9973, 0.999_999] {
            let mut before = f64::INFINITY;
            for degrees in degrees {
                let found = coverage_factor(level, Some(degrees)).unwrap();
                assert!(found <= before, "{level} at {degrees}: {found}, with fewer degrees of freedom {before}");
                before = found;
                // Beyond that the function itself loses the figures that tell it from the normal one.
                if degrees < 1e5 {
                    let back = covered(found, Some(degrees)).unwrap();
                    assert!((1.0 - back).abs() > 0.0 && ((1.0 - back) / (1.0 - level) - 1.0).abs() < 1e-8, "{level} at {degrees}: {back}");
                }
            }
            let normal = coverage_factor(level, None).unwrap();
            assert!((before / normal - 1.0).abs() < 1e-10, "{level}: {before}, normal {normal}");
        }
    }

    #[test]
    fn a_level_or_degrees_out_of_range_give_no_factor() {
        for (level, degrees) in [(0.0, None), (1.0, None), (-0.1, None), (f64::NAN, None), (0.95, Some(0.0)), (0.95, Some(-3.0))] {
            assert_eq!(coverage_factor(level, degrees), None);
        }
    }
}
