//! Coverage factors from a level: quantiles of the normal distribution and of Student's t.

use statrs::distribution::{ContinuousCDF, Normal, StudentsT};

/// The factor by which a standard uncertainty is multiplied to cover the share `level` of its distribution, both sides
/// alike: of Student's t with so many degrees of freedom (JCGM 100:2008 G.3.2), or of the normal distribution without.
///
/// `None` when the level is not above 0 and below 1, or the degrees of freedom are not above 0.
pub fn coverage_factor(level: f64, degrees: Option<f64>) -> Option<f64> {
    if !(level > 0.0 && level < 1.0) {
        return None;
    }
    // From the lower tail, which keeps its digits however near the level comes to one.
    let tail = (1.0 - level) / 2.0;
    let factor = match degrees {
        None => -Normal::new(0.0, 1.0).ok()?.inverse_cdf(tail),
        Some(degrees) if degrees > 0.0 && degrees.is_finite() => -StudentsT::new(0.0, 1.0, degrees).ok()?.inverse_cdf(tail),
        Some(_) => return None,
    };
    (factor > 0.0 && factor.is_finite()).then_some(factor)
}

#[cfg(test)]
mod tests {
    use super::coverage_factor;

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
        ];
        for (level, degrees, expected) in cases {
            let found = coverage_factor(level, degrees).unwrap();
            assert!((found / expected - 1.0).abs() < 1e-10, "{level} {degrees:?}: {found}, expected {expected}");
        }
    }

    #[test]
    fn a_level_or_degrees_out_of_range_give_no_factor() {
        for (level, degrees) in [(0.0, None), (1.0, None), (-0.1, None), (f64::NAN, None), (0.95, Some(0.0)), (0.95, Some(-3.0))] {
            assert_eq!(coverage_factor(level, degrees), None);
        }
    }
}
