//! Readings that stand far from others like them: Grubbs' test, and the like test of what readings are off a line.

use crate::measure::quantiles::coverage_factor;
use crate::measure::repeats::Repeats;

/// How a reading that stands off is called (ISO 5725-2:1994, 7.3.4).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Off {
    /// Beyond the critical value of 5 %.
    Straggler,
    /// Beyond the critical value of 1 %.
    Outlier,
}

/// The one that stands farthest off, when it is beyond the critical value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StandsOff {
    /// Its place among the readings.
    pub at: usize,
    /// How far it stands off, in standard deviations.
    pub statistic: f64,
    /// The critical value that it passes.
    pub critical: f64,
    /// How it is called.
    pub called: Off,
}

/// Grubbs' test of the reading that is farthest from the mean of all (ASTM E178; ISO 5725-2:1994, 7.3.4), on either side.
///
/// `None` of fewer than three, when they are all alike, or when none is beyond the critical value.
pub fn grubbs(readings: &[f64]) -> Option<StandsOff> {
    let all = Repeats::of(readings)?;
    let parted = readings.iter().map(|reading| (reading - all.mean).abs() / all.deviation).collect::<Vec<_>>();
    farthest(&parted, readings.len(), 1, libm::sqrt((readings.len() as f64 - 1.0) / readings.len() as f64))
}

/// The same of what each `y` is off the straight line through all of them over `x`, by least squares, each residual over its
/// own standard deviation (Stefansky, Technometrics 14 (1972) 469; Lund, Technometrics 17 (1975) 473).
///
/// `None` of fewer than four, when all `x` are alike, when all stand on the line, or when none is beyond the critical value.
pub fn off_line(x: &[f64], y: &[f64]) -> Option<StandsOff> {
    let count = x.len();
    if count < 4 || y.len() != count || !x.iter().chain(y).all(|number| number.is_finite()) {
        return None;
    }
    let mean = |numbers: &[f64]| numbers.iter().sum::<f64>() / count as f64;
    let (middle, height) = (mean(x), mean(y));
    let spread: f64 = x.iter().map(|x| (x - middle) * (x - middle)).sum();
    if spread <= 0.0 {
        return None;
    }
    let slope = x.iter().zip(y).map(|(x, y)| (x - middle) * (y - height)).sum::<f64>() / spread;
    let residuals: Vec<f64> = x.iter().zip(y).map(|(x, y)| y - height - slope * (x - middle)).collect();
    let squares: f64 = residuals.iter().map(|residual| residual * residual).sum();
    let deviation = libm::sqrt(squares / (count as f64 - 2.0));
    let size = y.iter().fold(0.0_f64, |most, y| most.max(y.abs()));
    if deviation <= 1e-12 * size {
        return None;
    }
    let studentised = residuals.iter().zip(x).map(|(residual, x)| {
        let leverage = 1.0 / count as f64 + (x - middle) * (x - middle) / spread;
        // A reading that alone decides the line has nothing to be off.
        if leverage > 1.0 - 1e-9 { 0.0 } else { residual.abs() / (deviation * libm::sqrt(1.0 - leverage)) }
    });
    farthest(&studentised.collect::<Vec<_>>(), count, 2, 1.0)
}

fn farthest(parted: &[f64], count: usize, fitted: usize, scale: f64) -> Option<StandsOff> {
    let (at, statistic) = parted.iter().copied().enumerate().reduce(|most, next| if next.1 > most.1 { next } else { most })?;
    let beyond = |chance: f64| critical(chance, count, fitted).map(|critical| critical * scale).filter(|critical| statistic > *critical);
    let outlier = beyond(0.01).map(|critical| StandsOff { at, statistic, critical, called: Off::Outlier });
    outlier.or_else(|| beyond(0.05).map(|critical| StandsOff { at, statistic, critical, called: Off::Straggler }))
}

// The value that the greatest of `count` studentised residuals passes with at most this chance, when all is well; so many
// parameters being fitted. With a mean alone it is Grubbs' but for the scale.
fn critical(chance: f64, count: usize, fitted: usize) -> Option<f64> {
    let degrees = count.checked_sub(fitted + 1).filter(|degrees| *degrees > 0)? as f64;
    let t = coverage_factor(1.0 - chance / count as f64, Some(degrees))?;
    Some(libm::sqrt((degrees + 1.0) * t * t / (degrees + t * t)))
}

#[cfg(test)]
mod tests {
    use super::{Off, critical, grubbs, off_line};

    // ISO 5725-2:1994 table 5, one largest or smallest: number of readings, upper 1 %, upper 5 % (from memory); of three
    // readings the value of 5 % is printed rounded up.
    #[test]
    fn critical_values_are_those_of_the_standard() {
        for (count, one, five) in [
            (3_usize, 1.155, 1.155),
            (4, 1.496, 1.481),
            (5, 1.764, 1.715),
            (6, 1.973, 1.887),
            (7, 2.139, 2.020),
            (8, 2.274, 2.126),
            (9, 2.387, 2.215),
            (10, 2.482, 2.290),
            (20, 3.001, 2.709),
        ] {
            let scale = ((count as f64 - 1.0) / count as f64).sqrt();
            for (chance, printed) in [(0.01, one), (0.05, five)] {
                let found = critical(chance, count, 1).unwrap() * scale;
                assert!((found - printed).abs() <= 0.000_9, "{count} at {chance}: {found}, printed {printed}");
            }
        }
    }

    // NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.5.17.1: eight mass readings, the last with G = 2.4687 (from
    // memory). Its critical value there, 2.032, is that of one side; here 2.126 holds for both.
    #[test]
    fn the_uranium_readings_of_the_handbook_have_their_outlier() {
        let found = grubbs(&[199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57]).unwrap();
        assert_eq!((found.at, found.called), (7, Off::Outlier));
        assert!((found.statistic - 2.4687).abs() < 1e-4, "{}", found.statistic);
        assert!((found.critical - 2.274).abs() < 6e-4);
    }

    #[test]
    fn like_readings_and_few_of_them_stand_together() {
        assert_eq!(grubbs(&[31.0, 33.0]), None);
        assert_eq!(grubbs(&[31.0, 31.0, 31.0, 31.0]), None);
        assert_eq!(grubbs(&[31.0, 33.0, 32.0, 32.5]), None);
    }

    #[test]
    fn a_point_off_its_line_is_found_and_points_on_it_are_not() {
        let x = [1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0];
        let line = |at: usize| 3.0 + 0.25 * x[at];
        let mut y: Vec<f64> = (0..8).map(line).collect();
        assert_eq!(off_line(&x, &y), None);
        y.iter_mut().enumerate().for_each(|(at, y)| *y += if at % 2 == 0 { 0.01 } else { -0.01 });
        assert_eq!(off_line(&x, &y), None);
        y[4] += 0.3;
        assert_eq!(off_line(&x, &y).map(|found| (found.at, found.called)), Some((4, Off::Outlier)));
        assert_eq!(off_line(&[2.0; 5], &y[..5]), None);
        assert_eq!(off_line(&x[..3], &y[..3]), None);
    }
}
