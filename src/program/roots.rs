//! Roots of a function of one number: straight lines at once, everything else within a bracket.

use crate::program::bracket::{Probe, narrow};

/// How often a bracket is doubled or halved before the search is given up.
const STEPS: usize = 200;

/// The `x`, nought or above, where `f` is nought; none when it has no such place. `scale` is a first guess of its size.
pub(super) fn from_nought(f: &mut dyn FnMut(f64) -> f64, scale: f64) -> Option<f64> {
    let scale = if scale > 0.0 && scale.is_finite() { scale } else { 1.0 };
    let at_nought = f(0.0);
    // Nearly every force in a machine is a straight line of its load, and two points tell a line.
    let (one, two) = (f(scale), f(2.0 * scale));
    let slope = (one - at_nought) / scale;
    let bend = (two - one) - (one - at_nought);
    if slope.is_finite() && slope != 0.0 && bend.abs() <= 1e-12 * (two.abs() + one.abs() + at_nought.abs()) {
        let x = -at_nought / slope;
        // A second step from there takes off what rounding left.
        let again = x - f(x) / slope;
        let best = if f(again).abs() <= f(x).abs() { again } else { x };
        return (best.is_finite() && best >= 0.0).then_some(best);
    }
    let mut low = (0.0, at_nought);
    if !low.1.is_finite() {
        low = (scale * 1e-9, f(scale * 1e-9));
    }
    let mut high = (scale, one);
    for _ in 0..STEPS {
        if low.1 == 0.0 {
            return Some(low.0);
        }
        if high.1.is_finite() && low.1.is_finite() && (high.1 >= 0.0) != (low.1 >= 0.0) {
            return Some(within(f, low, high));
        }
        if !high.1.is_finite() || high.0 > 1e30 {
            return None;
        }
        low = high;
        let next = high.0 * 2.0;
        high = (next, f(next));
    }
    None
}

// The root between two places with values of opposite sign.
fn within(f: &mut dyn FnMut(f64) -> f64, low: (f64, f64), high: (f64, f64)) -> f64 {
    let probe = |y: f64| Probe { holds: y >= 0.0, margins: vec![y.is_finite().then_some(y)] };
    let (inside, outside) = if low.1 >= 0.0 { (low, high) } else { (high, low) };
    let start = ((inside.0, probe(inside.1)), (outside.0, probe(outside.1)));
    let ((inside, held), (outside, failed)) = narrow(start, &mut |x| probe(f(x)));
    let size = |probe: &Probe| probe.margins.first().copied().flatten().map_or(f64::INFINITY, f64::abs);
    if size(&held) <= size(&failed) { inside } else { outside }
}

#[cfg(test)]
mod tests {
    use super::{from_nought, within};

    #[test]
    fn straight_lines_and_curves_are_met_to_rounding() {
        let line = from_nought(&mut |x| 0.3 * x + 2.0 - 14.0, 14.0);
        approx::assert_relative_eq!(line.unwrap_or(0.0), 40.0, max_relative = 1e-14);
        // Published: the positive root of x³ - 2x - 5 is 2.0945514815423265 (Wallis's example of Newton's rule, 1685).
        let cubic = from_nought(&mut |x| x * x * x - 2.0 * x - 5.0, 5.0);
        approx::assert_relative_eq!(cubic.unwrap_or(0.0), 2.0945514815423265, max_relative = 1e-14);
        let far = from_nought(&mut |x| x.sqrt() - 1e6, 1e6);
        approx::assert_relative_eq!(far.unwrap_or(0.0), 1e12, max_relative = 1e-12);
        assert_eq!(from_nought(&mut |x| x + 5.0, 1.0), None);
        assert_eq!(from_nought(&mut |_| 5.0, 1.0), None);
        let inside = within(&mut |x| libm::cos(x) - x, (0.0, 1.0), (1.0, libm::cos(1.0) - 1.0));
        approx::assert_relative_eq!(inside, 0.7390851332151607, max_relative = 1e-14);
    }
}
