//! The place between two values where something stops holding, to the last digits that a number has.
//!
//! The method is that of Oliveira and Takahashi, "An enhancement of the bisection method average performance preserving
//! minmax optimality" (ACM Trans. Math. Softw. 47(1), 2020): never more steps than bisection and one, and on a smooth
//! margin far fewer. The sign is taken from whether things hold, so it does not matter if the margin cannot be worked.

/// What a trial says of a value.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Probe {
    /// Whether everything holds.
    pub(super) holds: bool,
    /// How much is in hand of each thing that must hold; none where it cannot be worked.
    pub(super) margins: Vec<Option<f64>>,
}

/// Two values next to the place, the first where everything holds and the second where something does not, with what was
/// found there.
pub(super) type Bracket = ((f64, Probe), (f64, Probe));

/// Narrows `(inside, outside)` until no number, or next to none, lies between.
pub(super) fn narrow(start: Bracket, probe: &mut dyn FnMut(f64) -> Probe) -> Bracket {
    let ((mut inside, mut held), (mut outside, mut failed)) = start;
    // One part in 2^52 of the greater end: the last binary place there.
    let last = inside.abs().max(outside.abs()) * f64::EPSILON;
    let width = (outside - inside).abs();
    if width.is_nan() || width <= last {
        return ((inside, held), (outside, failed));
    }
    let close = 2.0 * last;
    let most = libm::ceil(libm::log2(width / (2.0 * close))).max(0.0) + 1.0;
    let mut step = 0.0;
    while (outside - inside).abs() > last && step < 200.0 {
        let half = inside + (outside - inside) / 2.0;
        if half == inside || half == outside {
            break;
        }
        let now = (outside - inside).abs();
        let guess = crossing(&held, &failed).filter(|_| now > 2.0 * close).map(|share| inside + share * (outside - inside));
        let next = guess.map_or(half, |straight| {
            // Cut short towards the middle, then kept within what bisection would have left.
            let towards = if half >= straight { 1.0 } else { -1.0 };
            let cut = 0.2 / width * now * now;
            let truncated = if cut <= (half - straight).abs() { straight + towards * cut } else { half };
            let reach = (close * libm::pow(2.0, most - step) - now / 2.0).max(0.0);
            if (truncated - half).abs() <= reach { truncated } else { half - towards * reach }
        });
        let found = probe(next);
        if found.holds {
            (inside, held) = (next, found);
        } else {
            (outside, failed) = (next, found);
        }
        step += 1.0;
    }
    ((inside, held), (outside, failed))
}

// How far along the way the first margin that is used up outside would be nothing if it went straight.
fn crossing(held: &Probe, failed: &Probe) -> Option<f64> {
    let shares = held.margins.iter().zip(&failed.margins).filter_map(|(inside, outside)| {
        let (inside, outside) = ((*inside)?, (*outside)?);
        (outside < 0.0 && inside >= 0.0 && inside - outside > 0.0).then(|| inside / (inside - outside))
    });
    shares.reduce(f64::min).filter(|share| *share > 0.0 && *share < 1.0)
}

/// The value in `low..=high` at which `of` is greatest, as far as it has one peak there (golden section).
pub(super) fn peak(mut low: f64, mut high: f64, of: &mut dyn FnMut(f64) -> f64) -> f64 {
    const SHARE: f64 = 0.618_033_988_749_894_9;
    let (mut left, mut right) = (high - SHARE * (high - low), low + SHARE * (high - low));
    let (mut at_left, mut at_right) = (of(left), of(right));
    for _ in 0..48 {
        if at_left >= at_right {
            (high, right, at_right) = (right, left, at_left);
            left = high - SHARE * (high - low);
            at_left = of(left);
        } else {
            (low, left, at_left) = (left, right, at_right);
            right = low + SHARE * (high - low);
            at_right = of(right);
        }
    }
    if at_left >= at_right { left } else { right }
}

#[cfg(test)]
mod tests {
    use super::{Probe, narrow, peak};

    fn root(of: fn(f64) -> Option<f64>, inside: f64, outside: f64) -> (f64, f64, usize) {
        let mut asked = 0;
        let mut probe = |x: f64| {
            asked += 1;
            let margin = of(x);
            Probe { holds: margin.is_some_and(|margin| margin >= 0.0), margins: vec![margin] }
        };
        let start = ((inside, probe(inside)), (outside, probe(outside)));
        let ((inside, _), (outside, _)) = narrow(start, &mut probe);
        (inside, outside, asked)
    }

    #[test]
    fn roots_with_a_closed_form_are_found_to_the_last_place() {
        // √2; π/2; ln 3: mathematics.
        for (of, inside, outside, exact) in [
            ((|x: f64| Some(2.0 - x * x)) as fn(f64) -> Option<f64>, 0.0, 2.0, core::f64::consts::SQRT_2),
            (|x| Some(libm::cos(x)), 0.0, 3.0, core::f64::consts::FRAC_PI_2),
            (|x| Some(libm::exp(x) - 3.0), 10.0, 0.0, libm::log(3.0)),
            (|x| Some(1.0 - x * x * x * x * x * x * x * x * x), 0.0, 4.0, 1.0),
        ] {
            let (inside, outside, asked) = root(of, inside, outside);
            assert!((inside - exact).abs() <= 4e-15 * exact.max(1.0), "{inside} {exact}");
            assert!((outside - inside).abs() <= 1e-14, "{inside} {outside}");
            assert!(asked <= 60, "{asked}");
        }
    }

    #[test]
    fn a_smooth_margin_takes_far_fewer_steps_than_halving() {
        let (_, _, asked) = root(|x| Some(2.0 - x * x), 0.0, 2.0);
        assert!(asked <= 24, "{asked}");
    }

    #[test]
    fn a_jump_and_a_margin_without_a_value_are_bracketed_all_the_same() {
        let (inside, outside, asked) = root(|x| Some(if x < 0.7 { 1.0 } else { -1.0 }), 0.0, 1.0);
        assert!(inside < 0.7 && outside >= 0.7 && outside - inside < 1e-15 && asked < 65, "{inside} {outside} {asked}");
        let (inside, outside, _) = root(|x| (x < 0.7).then_some(1.0), 0.0, 1.0);
        assert!(inside < 0.7 && outside >= 0.7 && outside - inside < 1e-15);
        let (inside, outside, _) = root(|x| Some(-x), -1.0, 1.0);
        assert!(inside <= 0.0 && outside > 0.0 && outside - inside < 1e-15);
    }

    #[test]
    fn the_peak_of_a_curve_is_found() {
        // Efficiency of a helix, tan β / tan(β + φ), is greatest at 45° − φ/2 (any textbook of machine elements).
        let phi = 0.1_f64;
        let found = peak(0.1, 1.4, &mut |b| libm::tan(b) / libm::tan(b + phi));
        assert!((found - (core::f64::consts::FRAC_PI_4 - phi / 2.0)).abs() < 1e-6, "{found}");
    }
}
