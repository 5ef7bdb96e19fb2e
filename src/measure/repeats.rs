//! What repeated readings of one thing say of it (JCGM 100:2008, 4.2).

/// The statistics of a run of readings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Repeats {
    /// The mean (4.2.1).
    pub mean: f64,
    /// The experimental standard deviation of one reading (4.2.2).
    pub deviation: f64,
    /// The standard deviation of the mean (4.2.3).
    pub of_mean: f64,
    /// Degrees of freedom, one less than the readings (4.2.6).
    pub degrees: f64,
}

impl Repeats {
    /// The statistics of `readings`; none of fewer than two, or when one is no number.
    ///
    /// Twice through the readings: what each is off the mean is summed again, so that the rounding of the mean cancels.
    pub fn of(readings: &[f64]) -> Option<Repeats> {
        let first = *readings.first()?;
        let count = readings.len() as f64;
        if readings.len() < 2 || !readings.iter().all(|reading| reading.is_finite()) {
            return None;
        }
        let shift = readings.iter().map(|reading| reading - first).sum::<f64>() / count;
        let mut mean = first + shift;
        mean += readings.iter().map(|reading| reading - mean).sum::<f64>() / count;
        let off: f64 = readings.iter().map(|reading| reading - mean).sum();
        let squares: f64 = readings.iter().map(|reading| (reading - mean) * (reading - mean)).sum();
        let deviation = libm::sqrt((squares - off * off / count).max(0.0) / (count - 1.0));
        Some(Repeats { mean, deviation, of_mean: deviation / libm::sqrt(count), degrees: count - 1.0 })
    }
}

#[cfg(test)]
mod tests {
    use super::Repeats;

    // The log of the relative error, as NIST StRD compares: digits that agree.
    fn digits(found: f64, certified: f64) -> f64 {
        if found == certified { 15.0 } else { -libm::log10(((found - certified) / certified).abs()) }
    }

    // NIST StRD, NumAcc2 to NumAcc4: a number, then 1000 readings in turn a tenth below and a tenth above it. Certified: the
    // mean is that number and the standard deviation 0.1, both exactly. The readings themselves are rounded to binary,
    // which alone spoils about as many digits of the deviation as the mean has before the point.
    #[test]
    fn readings_that_agree_in_many_digits_keep_the_certified_ones() {
        for (base, low, high, kept) in
            [(1.2, 1.1, 1.3, 14.0), (1_000_000.2, 1_000_000.1, 1_000_000.3, 9.0), (10_000_000.2, 10_000_000.1, 10_000_000.3, 8.0)]
        {
            let mut readings = vec![base];
            readings.extend((0..1000).map(|at| if at % 2 == 0 { low } else { high }));
            let found = Repeats::of(&readings).unwrap();
            assert!(digits(found.mean, base) >= 15.0 - 0.5, "{base}: mean {}", found.mean);
            assert!(digits(found.deviation, 0.1) >= kept, "{base}: deviation {}", found.deviation);
            assert_eq!(found.degrees, 1000.0);
        }
    }

    #[test]
    fn one_reading_or_none_has_no_spread() {
        assert_eq!(Repeats::of(&[]), None);
        assert_eq!(Repeats::of(&[3.0]), None);
        assert_eq!(Repeats::of(&[3.0, f64::NAN]), None);
    }
}
