//! Draws from the distributions of JCGM 101:2008, 6.4, by a named generator: the same numbers on every machine.
//!
//! The generator is xoshiro256++ (Blackman and Vigna, "Scrambled linear pseudorandom number generators", 2021). Sources of
//! doubt draw from stretches of its sequence that lie 2^128 draws apart, so that none ever meets another. Everything
//! behind the generator is plain arithmetic and libm.

use rand_xoshiro::Xoshiro256PlusPlus;
use rand_xoshiro::rand_core::{Rng, SeedableRng};

/// What the generator is called where a reader is told.
pub const GENERATOR: &str = "xoshiro256++";

/// The shape of a distribution; its middle is nothing, and its size is given by its standard uncertainty.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Distribution {
    /// Between limits, all alike (6.4.2).
    Rectangular,
    /// Between limits, the middle likelier (6.4.5).
    Triangular,
    /// Between limits, the ends likelier (6.4.6).
    Arcsine,
    /// Between limits, with a flat top of that share of the base (6.4.4).
    Trapezoidal(f64),
    /// Normal (6.4.7).
    Normal,
    /// Student's t with so many degrees of freedom (6.4.9). Its scale is the standard uncertainty, so that the deviation
    /// of its draws is wider than that.
    Student(f64),
    /// The root of the degrees of freedom over a draw of chi-square with so many: what turns normal draws that rest on one
    /// estimate of variance into draws of Student's t, the same for all of them.
    Stretch(f64),
}

impl Distribution {
    /// By how much a draw of the plain shape is multiplied for a standard uncertainty of one.
    fn scale(self) -> f64 {
        match self {
            Distribution::Rectangular => libm::sqrt(3.0),
            Distribution::Triangular => libm::sqrt(6.0),
            Distribution::Arcsine => libm::sqrt(2.0),
            Distribution::Trapezoidal(top) => libm::sqrt(6.0 / (1.0 + top * top)),
            Distribution::Normal | Distribution::Student(_) | Distribution::Stretch(_) => 1.0,
        }
    }
}

/// Draws of one source of doubt.
#[derive(Debug, Clone, PartialEq)]
pub struct Sampler {
    generator: Xoshiro256PlusPlus,
    distribution: Distribution,
    size: f64,
    // The second of a pair of normal draws.
    spare: Option<f64>,
}

impl Sampler {
    /// A sampler of a standard uncertainty. Each `stream` of a seed is independent of the others.
    pub fn new(seed: u64, stream: usize, distribution: Distribution, uncertainty: f64) -> Self {
        let mut generator = Xoshiro256PlusPlus::seed_from_u64(seed);
        generator.jump_ce(stream as u64, 128);
        Sampler { generator, distribution, size: uncertainty * distribution.scale(), spare: None }
    }

    /// Fills `draws`. Filling two slices gives the same numbers as filling one of both lengths.
    pub fn fill(&mut self, draws: &mut [f64]) {
        let size = self.size;
        match self.distribution {
            Distribution::Rectangular => draws.iter_mut().for_each(|draw| *draw = size * self.either_side()),
            Distribution::Triangular => {
                draws.iter_mut().for_each(|draw| *draw = 0.5 * size * (self.either_side() + self.either_side()));
            }
            Distribution::Arcsine => draws.iter_mut().for_each(|draw| *draw = size * self.swing()),
            Distribution::Trapezoidal(top) => {
                let (wide, narrow) = (0.5 * size * (1.0 + top), 0.5 * size * (1.0 - top));
                draws.iter_mut().for_each(|draw| *draw = wide * self.either_side() + narrow * self.either_side());
            }
            Distribution::Normal => draws.iter_mut().for_each(|draw| *draw = size * self.normal()),
            Distribution::Student(degrees) => draws.iter_mut().for_each(|draw| *draw = size * self.student(degrees)),
            Distribution::Stretch(degrees) => {
                draws.iter_mut().for_each(|draw| *draw = size * libm::sqrt(0.5 * degrees / self.gamma(0.5 * degrees)));
            }
        }
    }

    // From -1 up to 1, by the upper 53 bits.
    fn either_side(&mut self) -> f64 {
        const STEP: f64 = 1.0 / ((1_u64 << 52) as f64);
        (self.generator.next_u64() >> 11) as f64 * STEP - 1.0
    }

    // A point within the unit circle, its middle left out, with the square of its distance from there.
    fn within_circle(&mut self) -> (f64, f64, f64) {
        loop {
            let (x, y) = (self.either_side(), self.either_side());
            let square = x * x + y * y;
            if square > 0.0 && square < 1.0 {
                return (x, y, square);
            }
        }
    }

    // The cosine of an angle of which all are alike: that of twice the angle of a point.
    fn swing(&mut self) -> f64 {
        let (x, y, square) = self.within_circle();
        (x * x - y * y) / square
    }

    // The polar method of Marsaglia and Bray (SIAM Review 6(3), 1964): two at a time.
    fn normal(&mut self) -> f64 {
        if let Some(spare) = self.spare.take() {
            return spare;
        }
        let (x, y, square) = self.within_circle();
        let far = libm::sqrt(-2.0 * libm::log(square) / square);
        self.spare = Some(y * far);
        x * far
    }

    // The polar method of Bailey (Mathematics of Computation 62(206), 1994), for any degrees of freedom above nought.
    fn student(&mut self, degrees: f64) -> f64 {
        let (x, _, square) = self.within_circle();
        x * libm::sqrt(degrees * libm::expm1(-2.0 / degrees * libm::log(square)) / square)
    }

    // Above nought and below one.
    fn between(&mut self) -> f64 {
        0.5 * (self.either_side() + 1.0) + 0.5 / ((1_u64 << 53) as f64)
    }

    // The gamma distribution by squeezing a cube of normal draws (Marsaglia and Tsang, ACM Transactions on Mathematical
    // Software 26(3), 2000), for any shape above nought.
    fn gamma(&mut self, shape: f64) -> f64 {
        if shape < 1.0 {
            let share = libm::pow(self.between(), 1.0 / shape);
            return share * self.gamma(shape + 1.0);
        }
        let d = shape - 1.0 / 3.0;
        let c = 1.0 / libm::sqrt(9.0 * d);
        loop {
            let x = self.normal();
            let v = (1.0 + c * x) * (1.0 + c * x) * (1.0 + c * x);
            if v > 0.0 && libm::log(self.between()) < 0.5 * x * x + d - d * v + d * libm::log(v) {
                return d * v;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Distribution, Sampler};
    use statrs::distribution::{ContinuousCDF, Normal, StudentsT};

    const DRAWS: usize = 20_000;

    fn draws(distribution: Distribution, uncertainty: f64) -> Vec<f64> {
        let mut sampler = Sampler::new(101, 3, distribution, uncertainty);
        let mut draws = vec![0.0; DRAWS];
        sampler.fill(&mut draws);
        draws
    }

    // The greatest distance between the draws and a distribution function (Kolmogorov and Smirnov): with n draws it exceeds
    // 1.95/√n one time in a thousand.
    fn held_to(mut draws: Vec<f64>, function: impl Fn(f64) -> f64) {
        draws.sort_by(f64::total_cmp);
        let count = draws.len() as f64;
        let gap = draws.iter().enumerate().map(|(at, draw)| {
            let share = function(*draw);
            (share - at as f64 / count).abs().max((share - (at + 1) as f64 / count).abs())
        });
        let gap = gap.fold(0.0, f64::max);
        assert!(gap < 1.95 / count.sqrt(), "{gap}");
    }

    // Distribution functions by JCGM 101:2008, 6.4, integrated by hand; normal and t by a statistics library.
    #[test]
    fn draws_follow_their_distribution_functions() {
        held_to(draws(Distribution::Rectangular, 1.0 / 3.0_f64.sqrt()), |x| (x.clamp(-1.0, 1.0) + 1.0) / 2.0);
        held_to(draws(Distribution::Triangular, 1.0 / 6.0_f64.sqrt()), |x| {
            if x < 0.0 { (1.0 + x) * (1.0 + x) / 2.0 } else { 1.0 - (1.0 - x) * (1.0 - x) / 2.0 }
        });
        held_to(draws(Distribution::Arcsine, 1.0 / 2.0_f64.sqrt()), |x| 0.5 + x.asin() / core::f64::consts::PI);
        let top = 0.4;
        let height = 1.0 / (1.0 + top);
        held_to(draws(Distribution::Trapezoidal(top), ((1.0 + top * top) / 6.0_f64).sqrt()), |x| {
            let slope = |far: f64| height * far * far / (2.0 * (1.0 - top));
            match x {
                x if x < -top => slope(1.0 + x),
                x if x > top => 1.0 - slope(1.0 - x),
                x => 0.5 + height * x,
            }
        });
        let normal = Normal::new(0.0, 2.5).expect("a normal distribution");
        held_to(draws(Distribution::Normal, 2.5), |x| normal.cdf(x));
        for degrees in [1.0, 2.0, 5.0, 18.0, 3.5] {
            let student = StudentsT::new(0.0, 0.7, degrees).expect("a t distribution");
            held_to(draws(Distribution::Student(degrees), 0.7), |x| student.cdf(x));
        }
    }

    // By definition Student's t is a normal draw over the root of chi-square by its degrees of freedom; with one chi-square
    // behind two of them their sum is a t too, of the root of the sum of the squares.
    #[test]
    fn one_estimate_of_variance_behind_two_makes_their_sum_a_t() {
        for degrees in [1.0, 3.0, 9.0, 0.7] {
            let mut stretch = vec![0.0; DRAWS];
            Sampler::new(101, 9, Distribution::Stretch(degrees), 1.0).fill(&mut stretch);
            let (mut a, mut b) = (vec![0.0; DRAWS], vec![0.0; DRAWS]);
            Sampler::new(101, 7, Distribution::Normal, 3.0).fill(&mut a);
            Sampler::new(101, 8, Distribution::Normal, 4.0).fill(&mut b);
            let sum = a.iter().zip(&b).zip(&stretch).map(|((a, b), stretch)| a * stretch + b * stretch).collect();
            let student = StudentsT::new(0.0, 5.0, degrees).expect("a t distribution");
            held_to(sum, |x| student.cdf(x));
        }
    }

    // The first outputs of xoshiro256++ from the state 1, 2, 3, 4, as in the tests of its reference implementation.
    #[test]
    fn the_generator_is_the_one_that_is_named() {
        use rand_xoshiro::Xoshiro256PlusPlus;
        use rand_xoshiro::rand_core::{Rng, SeedableRng};
        let mut seed = [0; 32];
        for (at, number) in [1_u8, 2, 3, 4].into_iter().enumerate() {
            seed[8 * at] = number;
        }
        let mut generator = Xoshiro256PlusPlus::from_seed(seed);
        for expected in [41_943_041_u64, 58_720_359, 3_588_806_011_781_223, 3_591_011_842_654_386] {
            assert_eq!(generator.next_u64(), expected);
        }
    }

    #[test]
    fn cut_anywhere_the_draws_are_the_same_and_streams_and_seeds_are_not() {
        for distribution in [Distribution::Normal, Distribution::Student(4.0), Distribution::Triangular] {
            let whole = draws(distribution, 1.0);
            let mut again = vec![0.0; DRAWS];
            let mut sampler = Sampler::new(101, 3, distribution, 1.0);
            let (first, rest) = again.split_at_mut(777);
            sampler.fill(first);
            sampler.fill(rest);
            assert_eq!(whole, again);
            for (seed, stream) in [(101, 2), (102, 3)] {
                let mut other = vec![0.0; 100];
                Sampler::new(seed, stream, distribution, 1.0).fill(&mut other);
                assert!(whole.iter().zip(&other).all(|(a, b)| a != b));
            }
        }
    }
}
