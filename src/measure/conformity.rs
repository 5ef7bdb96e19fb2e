//! The chance that a quantity known with doubt lies where it should (JCGM 106:2012).

use statrs::distribution::{ChiSquared, ContinuousCDF, Normal, StudentsT};

/// The chance that a margin is in truth no less than nothing, from its value and its standard uncertainty, with a normal
/// distribution about the value (JCGM 106:2012, 7.3.1), or Student's t where degrees of freedom are given. Without doubt it is
/// certainty, one way or the other.
///
/// Kept to ten figures, which is far more than a first-order uncertainty can answer for.
pub fn conformity(margin: f64, uncertainty: f64, degrees: Option<f64>) -> f64 {
    let certain = if margin >= 0.0 { 1.0 } else { 0.0 };
    if !(uncertainty > 0.0 && uncertainty.is_finite()) {
        return certain;
    }
    let ratio = margin / uncertainty;
    let normal = || Normal::new(0.0, 1.0).map_or(certain, |normal| normal.cdf(ratio));
    let chance = match degrees.map(|degrees| StudentsT::new(0.0, 1.0, degrees)) {
        Some(Ok(t)) => t.cdf(ratio),
        _ => normal(),
    };
    // The last places of an exponential are the machine's own; no sheet may depend on them.
    format!("{chance:.9e}").parse().unwrap_or(chance)
}

/// The chance of a sum of squares as large as `squares` or larger, each residual over its own standard uncertainty, where
/// nothing but those uncertainties is at work: the upper tail of chi-square. `None` when there are no degrees of freedom.
pub fn chance_of_scatter(squares: f64, degrees: f64) -> Option<f64> {
    let chance = ChiSquared::new(degrees).ok()?.sf(squares);
    // As above.
    chance.is_finite().then(|| format!("{chance:.9e}").parse().unwrap_or(chance))
}

#[cfg(test)]
mod tests {
    use super::{chance_of_scatter, conformity};
    use approx::assert_abs_diff_eq;

    // The standard normal distribution function as tabulated (NIST/SEMATECH e-Handbook, 1.3.6.7.1; the tail at 3 and 4 from
    // Abramowitz and Stegun, table 26.1; both from memory).
    #[test]
    fn chances_are_those_of_the_tables_of_the_normal_distribution() {
        for (z, table) in [(0.0, 0.5), (1.0, 0.84134), (1.4, 0.91924), (1.645, 0.95002), (1.96, 0.97500), (2.0, 0.97725), (3.0, 0.99865)] {
            assert_abs_diff_eq!(conformity(z, 1.0, None), table, epsilon = 6e-6);
            assert_abs_diff_eq!(conformity(-z, 1.0, None), 1.0 - table, epsilon = 6e-6);
        }
        assert_abs_diff_eq!(conformity(-4.0, 1.0, None), 3.167e-5, epsilon = 1e-8);
    }

    // JCGM 106:2012, clause 7, the Zener diode: a breakdown voltage of -5.47 V with u = 0.05 V against an upper limit of -5.40 V
    // conforms with a chance of 0.92 (from memory).
    #[test]
    fn the_zener_diode_conforms_as_printed() {
        assert_abs_diff_eq!(conformity(-5.40 - -5.47, 0.05, None), 0.92, epsilon = 0.005);
    }

    // ILAC-G8:09/2019, table 1 (from memory): the chance of false acceptance at the edge of a guard band of r U, U at k = 2,
    // is below 50 % for r = 0, 5 % for 0.83, 2.5 % for 1, 0.16 % for 1.5 and one in a million for 3.
    #[test]
    fn guard_bands_leave_the_risk_that_is_printed_for_them() {
        for (share, below) in [(0.83, 0.05), (1.0, 0.025), (1.5, 0.0016), (3.0, 1e-6)] {
            let risk = conformity(-share * 2.0, 1.0, None);
            assert!(risk < below && risk > below / 1.0e4, "{share}: {risk}");
        }
        assert_eq!(conformity(0.0, 1.0, None), 0.5);
    }

    // Student's t as tabulated (JCGM 100:2008, table G.2; NIST/SEMATECH e-Handbook, 1.3.6.7.2; from memory): 95 % of it lie
    // within 2.57 for 5 degrees of freedom and 2.23 for 10, and 95 % below 2.015 and 1.812.
    #[test]
    fn few_degrees_of_freedom_leave_more_chance() {
        for (degrees, two_sided, one_sided) in [(5.0, 2.571, 2.015), (10.0, 2.228, 1.812)] {
            assert_abs_diff_eq!(conformity(-two_sided, 1.0, Some(degrees)), 0.025, epsilon = 2e-5);
            assert_abs_diff_eq!(conformity(one_sided, 1.0, Some(degrees)), 0.95, epsilon = 5e-5);
        }
    }

    #[test]
    fn without_doubt_there_is_no_chance() {
        assert_eq!([(0.0, 0.0), (1.0, 0.0), (-1.0, 0.0)].map(|(margin, u)| conformity(margin, u, Some(3.0))), [1.0, 1.0, 0.0]);
    }

    // Upper points of chi-square as tabulated (NIST/SEMATECH e-Handbook, 1.3.6.7.4, from memory).
    #[test]
    fn chances_of_scatter_are_those_of_the_tables_of_chi_square() {
        for (degrees, squares, chance) in
            [(1.0, 3.841, 0.05), (4.0, 9.488, 0.05), (8.0, 15.507, 0.05), (8.0, 3.490, 0.9), (10.0, 23.209, 0.01)]
        {
            assert_abs_diff_eq!(chance_of_scatter(squares, degrees).unwrap(), chance, epsilon = 5e-5);
        }
        assert_eq!(chance_of_scatter(1.0, 0.0), None);
    }
}
