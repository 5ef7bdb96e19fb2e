//! A straight line through points: by least squares from their scatter, by weights, and with doubt in both readings.
//!
//! A line is kept by its slope and by its height in the middle of the points, which owe nothing to each other. What slope and
//! intercept have in common then follows from the arithmetic.

/// How often the fit with doubt in both readings goes round before it is given up.
const ROUNDS: usize = 500;

/// A line and what is known of its doubt.
#[derive(Debug, Clone, PartialEq)]
pub struct Line {
    /// How much `y` rises for one of `x`.
    pub slope: f64,
    /// The middle of the points: where slope and height are independent.
    pub middle: f64,
    /// The height of the line there.
    pub height: f64,
    /// Standard uncertainty of the slope.
    pub of_slope: f64,
    /// Standard uncertainty of the height in the middle.
    pub of_height: f64,
    /// What each point is above the line.
    pub residuals: Vec<f64>,
    /// Degrees of freedom, two less than the points.
    pub degrees: f64,
    /// The sum of the squared residuals, each over its own variance; without stated doubts, over one.
    pub squares: f64,
}

impl Line {
    /// Ordinary least squares: the doubt comes from the scatter about the line (JCGM 100:2008 H.3; the sums are taken off
    /// the means, as NIST's handbook asks where digits are to be kept).
    ///
    /// `None` for fewer than three points, lists of different length, what is no number, or `x` that are all alike.
    pub fn through(x: &[f64], y: &[f64]) -> Option<Line> {
        let mut line = Line::weighted(x, y, &vec![1.0; y.len()])?;
        let deviation = line.deviation();
        line.of_slope *= deviation;
        line.of_height *= deviation;
        Some(line)
    }

    /// Weighted least squares: `of_y` are the standard uncertainties of `y`, and the doubt of the line comes from them alone.
    ///
    /// `None` as for [`Line::through`], or where an uncertainty is not above nought.
    pub fn weighted(x: &[f64], y: &[f64], of_y: &[f64]) -> Option<Line> {
        if !usable(x, y) || of_y.len() != y.len() || !of_y.iter().all(|u| *u > 0.0 && u.is_finite()) {
            return None;
        }
        let weights: Vec<f64> = of_y.iter().map(|u| 1.0 / (u * u)).collect();
        let (middle, height) = (mean(x, &weights), mean(y, &weights));
        let mut across = 0.0;
        let mut up = 0.0;
        for ((x, y), weight) in x.iter().zip(y).zip(&weights) {
            across += weight * (x - middle) * (x - middle);
            up += weight * (x - middle) * (y - height);
        }
        let slope = up / across;
        let total: f64 = weights.iter().sum();
        let residuals: Vec<f64> = x.iter().zip(y).map(|(x, y)| (y - height) - slope * (x - middle)).collect();
        let squares = residuals.iter().zip(&weights).map(|(residual, weight)| weight * residual * residual).sum();
        let line = Line {
            slope,
            middle,
            height,
            of_slope: 1.0 / libm::sqrt(across),
            of_height: 1.0 / libm::sqrt(total),
            residuals,
            degrees: x.len() as f64 - 2.0,
            squares,
        };
        (across > 0.0 && line.slope.is_finite()).then_some(line)
    }

    /// Least squares with doubt in both readings, `of_x` and `of_y` their standard uncertainties, not correlated: the
    /// unified equations of D. York, N. M. Evensen, M. López Martínez, J. De Basabe Delgado, American Journal of Physics 72
    /// (2004) 367. Either uncertainty of a point may be nought, but not both.
    ///
    /// `None` as for [`Line::through`], where a point has no doubt, or where the rounds do not settle.
    pub fn between(x: &[f64], y: &[f64], of_x: &[f64], of_y: &[f64]) -> Option<Line> {
        if !usable(x, y) || of_x.len() != x.len() || of_y.len() != y.len() {
            return None;
        }
        let known = |u: &f64| *u >= 0.0 && u.is_finite();
        let doubted = of_x.iter().zip(of_y).all(|(a, b)| known(a) && known(b) && *a + *b > 0.0);
        if !doubted {
            return None;
        }
        let start = Line::through(x, y)?.slope;
        // A flat start leaves points without weight when their doubt is in `x` alone.
        let mut slope = if start == 0.0 { f64::MIN_POSITIVE.sqrt() } else { start };
        let mut last = f64::INFINITY;
        for _ in 0..ROUNDS {
            let round = Round::at(slope, x, y, of_x, of_y)?;
            let step = (round.next - slope).abs();
            // Rounding keeps the last place moving; when the steps no longer shrink there, this is as near as it comes.
            let settled = step == 0.0 || step <= 1e-14 * slope.abs() && step >= last;
            slope = round.next;
            if settled || step <= 1e-16 * slope.abs() {
                return Round::at(slope, x, y, of_x, of_y)?.line(slope, x, y);
            }
            last = step;
        }
        None
    }

    /// How much of a change that one round of [`Line::between`] makes at its own slope stays when all rounds are counted: one
    /// over one less the rise of the rounds there. By it a small change of the readings is carried through the iteration.
    pub fn stays(slope: f64, x: &[f64], y: &[f64], of_x: &[f64], of_y: &[f64]) -> f64 {
        let step = 1e-5 * slope.abs();
        let next = |slope: f64| Round::at(slope, x, y, of_x, of_y).map_or(f64::NAN, |round| round.next);
        1.0 / (1.0 - (next(slope + step) - next(slope - step)) / (2.0 * step))
    }

    /// The standard deviation of a residual: of the points about the line, or, for stated doubts, how many times wider they
    /// scatter than was stated.
    pub fn deviation(&self) -> f64 {
        libm::sqrt(self.squares / self.degrees)
    }

    /// The line at nought.
    pub fn intercept(&self) -> f64 {
        self.height - self.slope * self.middle
    }

    /// The line at `x`, with its standard uncertainty.
    pub fn at(&self, x: f64) -> (f64, f64) {
        let off = x - self.middle;
        (self.height + self.slope * off, libm::hypot(self.of_height, off * self.of_slope))
    }

    /// The line at `x`, with the standard uncertainty of one new reading there; for a line from the scatter of its points.
    pub fn reading(&self, x: f64) -> (f64, f64) {
        let (y, of_line) = self.at(x);
        (y, libm::hypot(of_line, self.deviation()))
    }

    /// Standard uncertainty of the line at nought.
    pub fn of_intercept(&self) -> f64 {
        self.at(0.0).1
    }

    /// The correlation of slope and intercept.
    pub fn correlation(&self) -> f64 {
        -self.middle * self.of_slope / self.of_intercept()
    }
}

// One round of the fit with doubt in both readings, at a slope.
struct Round {
    next: f64,
    middle: f64,
    height: f64,
    weights: Vec<f64>,
    // Where each point is put on the line, off the middle.
    adjusted: Vec<f64>,
}

impl Round {
    fn at(slope: f64, x: &[f64], y: &[f64], of_x: &[f64], of_y: &[f64]) -> Option<Round> {
        let variances = || of_x.iter().zip(of_y).map(|(a, b)| (a * a, b * b));
        let weights: Vec<f64> = variances().map(|(x, y)| 1.0 / (y + slope * slope * x)).collect();
        let (middle, height) = (mean(x, &weights), mean(y, &weights));
        let mut adjusted = Vec::with_capacity(x.len());
        let (mut up, mut across) = (0.0, 0.0);
        for (((x, y), weight), (x_variance, y_variance)) in x.iter().zip(y).zip(&weights).zip(variances()) {
            let (u, v) = (x - middle, y - height);
            let beta = weight * (u * y_variance + slope * v * x_variance);
            up += weight * beta * v;
            across += weight * beta * u;
            adjusted.push(beta);
        }
        let next = up / across;
        next.is_finite().then_some(Round { next, middle, height, weights, adjusted })
    }

    // The line with its doubts, taken at the points as they are put on the line.
    fn line(self, slope: f64, x: &[f64], y: &[f64]) -> Option<Line> {
        let total: f64 = self.weights.iter().sum();
        let shift = mean(&self.adjusted, &self.weights);
        let spread: f64 = self.adjusted.iter().zip(&self.weights).map(|(at, weight)| weight * (at - shift) * (at - shift)).sum();
        let residuals: Vec<f64> = x.iter().zip(y).map(|(x, y)| (y - self.height) - slope * (x - self.middle)).collect();
        let squares = residuals.iter().zip(&self.weights).map(|(residual, weight)| weight * residual * residual).sum();
        (spread > 0.0).then(|| Line {
            slope,
            middle: self.middle + shift,
            height: self.height + slope * shift,
            of_slope: 1.0 / libm::sqrt(spread),
            of_height: 1.0 / libm::sqrt(total),
            residuals,
            degrees: x.len() as f64 - 2.0,
            squares,
        })
    }
}

fn usable(x: &[f64], y: &[f64]) -> bool {
    x.len() > 2 && x.len() == y.len() && x.iter().chain(y).all(|reading| reading.is_finite())
}

// A weighted mean, taken twice: what the first one leaves over is added to it.
fn mean(values: &[f64], weights: &[f64]) -> f64 {
    let total: f64 = weights.iter().sum();
    let off = |from: f64| values.iter().zip(weights).map(|(value, weight)| weight * (value - from)).sum::<f64>() / total;
    let first = values.first().copied().unwrap_or(0.0);
    let mean = first + off(first);
    mean + off(mean)
}
