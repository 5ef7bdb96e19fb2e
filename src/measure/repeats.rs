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

    // NIST StRD, NumAcc1: certified are the mean 10000002 and the standard deviation 1, both exactly. Mavro, fifty readings of a
    // transmittance: 2.00185600000000 and 0.000429123454003053, of whose digits the readings, rounded to binary, keep twelve.
    #[test]
    fn three_large_readings_and_fifty_close_ones_keep_the_certified_digits() {
        let large = Repeats::of(&[10_000_001.0, 10_000_003.0, 10_000_002.0]).unwrap();
        assert_eq!((large.mean, large.deviation), (10_000_002.0, 1.0));
        let last = [
            18, 17, 18, 19, 18, 17, 15, 14, 15, 15, 17, 18, 18, 19, 19, 21, 20, 16, 14, 13, 13, 15, 15, 16, 15, 14, 13, 14, 15, 14, 15, 16,
            15, 16, 19, 20, 20, 21, 22, 23, 24, 25, 27, 26, 26, 26, 27, 26, 25, 24,
        ];
        let mavro = Repeats::of(&last.map(|ten_thousandths| f64::from(20_000 + ten_thousandths) / 10_000.0)).unwrap();
        assert!(digits(mavro.mean, 2.001856) >= 14.5, "{}", mavro.mean);
        assert!(digits(mavro.deviation, 0.000_429_123_454_003_053) >= 11.5, "{}", mavro.deviation);
    }

    // The first digits of pi, by the spigot of Rabinowitz and Wagon (American Mathematical Monthly 102, 1995).
    fn digits_of_pi(count: usize) -> Vec<f64> {
        let length = (count + 10) * 10 / 3 + 1;
        let mut columns = vec![2_u64; length];
        let mut digits: Vec<u64> = Vec::new();
        for _ in 0..count + 10 {
            let mut carried = 0;
            for at in (0..length).rev() {
                let column = columns[at] * 10 + carried;
                let under = 2 * at as u64 + 1;
                if at == 0 {
                    columns[0] = column % 10;
                    carried = column / 10;
                } else {
                    columns[at] = column % under;
                    carried = column / under * at as u64;
                }
            }
            digits.push(carried);
            // A ten goes over to the digits above it.
            for at in (1..digits.len()).rev() {
                if digits[at] < 10 {
                    break;
                }
                digits[at] -= 10;
                digits[at - 1] += 1;
            }
        }
        digits.into_iter().take(count).map(|digit| digit as f64).collect()
    }

    // NIST StRD, PiDigits: the first 5000 digits, certified to 15. Where pi has 8 as its 957th digit, the data have 3; with
    // the true digit the mean would be 4.5358.
    #[test]
    fn digits_of_pi_have_the_certified_mean_and_deviation() {
        let mut readings = digits_of_pi(5000);
        assert_eq!(readings[..9], [3.0, 1.0, 4.0, 1.0, 5.0, 9.0, 2.0, 6.0, 5.0]);
        assert_eq!(std::mem::replace(&mut readings[956], 3.0), 8.0);
        let found = Repeats::of(&readings).unwrap();
        assert!(digits(found.mean, 4.534_800_000_000_00) >= 14.0, "{}", found.mean);
        assert!(digits(found.deviation, 2.867_339_060_288_71) >= 14.0, "{}", found.deviation);
    }

    #[test]
    fn one_reading_or_none_has_no_spread() {
        assert_eq!(Repeats::of(&[]), None);
        assert_eq!(Repeats::of(&[3.0]), None);
        assert_eq!(Repeats::of(&[3.0, f64::NAN]), None);
    }
}
