//! Steps worked on Taylor series: how a value runs along one direction of its inputs, to the third order, exactly.
//!
//! The recurrences are those of forward differentiation to higher order; a series holds value, slope, half the second
//! derivative and a sixth of the third.

use crate::program::operations::Operation;

/// A value along a direction t: `s[0] + s[1] t + s[2] t² + s[3] t³`.
pub(super) type Series = [f64; 4];

/// A value that does not move.
pub(super) fn still(value: f64) -> Series {
    [value, 0.0, 0.0, 0.0]
}

/// The series of a step, from those of its operands. What is found and not worked does not move.
pub(super) fn series(operation: Operation, at: impl Fn(usize) -> Series) -> Series {
    match operation {
        Operation::Constant(value) => still(value),
        Operation::Doubt(_) => still(0.0),
        Operation::Sought(_) | Operation::Fitted(..) => still(f64::NAN),
        Operation::Add(a, b) => each(at(a), at(b), |a, b| a + b),
        Operation::Subtract(a, b) => each(at(a), at(b), |a, b| a - b),
        Operation::Multiply(a, b) => product(at(a), at(b)),
        Operation::Divide(a, b) => quotient(at(a), at(b)),
        Operation::Power(a, b) => power(at(a), at(b)),
        Operation::Negate(a) => at(a).map(|part| -part),
        Operation::Sqrt(a) => root(at(a)),
        Operation::Abs(a) => {
            let a = at(a);
            if a[0] < 0.0 { a.map(|part| -part) } else { a }
        }
        Operation::Min(a, b) => {
            let (a, b) = (at(a), at(b));
            if b[0] < a[0] { b } else { a }
        }
        Operation::Max(a, b) => {
            let (a, b) = (at(a), at(b));
            if b[0] > a[0] { b } else { a }
        }
        Operation::Exp(a) => exponential(at(a)),
        Operation::Ln(a) => {
            let a = at(a);
            along(libm::log(a[0]), quotient(slope(a), a))
        }
        Operation::Sin(a) => circle(at(a)).0,
        Operation::Cos(a) => circle(at(a)).1,
        Operation::Tan(a) => {
            let (sine, cosine) = circle(at(a));
            quotient(sine, cosine)
        }
        Operation::Asin(a) => {
            let a = at(a);
            along(libm::asin(a[0]), quotient(slope(a), root(each(still(1.0), product(a, a), |one, square| one - square))))
        }
        Operation::Acos(a) => {
            let a = at(a);
            let fall = quotient(slope(a), root(each(still(1.0), product(a, a), |one, square| one - square)));
            along(libm::acos(a[0]), fall.map(|part| -part))
        }
        Operation::Atan(a) => {
            let a = at(a);
            along(libm::atan(a[0]), quotient(slope(a), each(still(1.0), product(a, a), |one, square| one + square)))
        }
        Operation::AngleOf(a, b) => {
            let (a, b) = (at(a), at(b));
            let square = each(product(a, a), product(b, b), |a, b| a + b);
            let turn = each(product(b, slope(a)), product(a, slope(b)), |one, other| one - other);
            along(libm::atan2(a[0], b[0]), quotient(turn, square))
        }
        Operation::Step(a) => still(if at(a)[0] >= 0.0 { 1.0 } else { 0.0 }),
        Operation::Where(a, _) => at(a),
    }
}

fn each(a: Series, b: Series, of: impl Fn(f64, f64) -> f64) -> Series {
    [of(a[0], b[0]), of(a[1], b[1]), of(a[2], b[2]), of(a[3], b[3])]
}

fn product(a: Series, b: Series) -> Series {
    [a[0] * b[0], a[0] * b[1] + a[1] * b[0], a[0] * b[2] + a[1] * b[1] + a[2] * b[0], a[0] * b[3] + a[1] * b[2] + a[2] * b[1] + a[3] * b[0]]
}

fn quotient(a: Series, b: Series) -> Series {
    let first = a[0] / b[0];
    let second = (a[1] - b[1] * first) / b[0];
    let third = (a[2] - b[1] * second - b[2] * first) / b[0];
    [first, second, third, (a[3] - b[1] * third - b[2] * second - b[3] * first) / b[0]]
}

fn root(a: Series) -> Series {
    let first = libm::sqrt(a[0]);
    if moves(a) {
        let second = a[1] / (2.0 * first);
        let third = (a[2] - second * second) / (2.0 * first);
        [first, second, third, (a[3] - 2.0 * second * third) / (2.0 * first)]
    } else {
        still(first)
    }
}

fn exponential(a: Series) -> Series {
    let first = libm::exp(a[0]);
    let second = a[1] * first;
    let third = (a[1] * second + 2.0 * a[2] * first) / 2.0;
    [first, second, third, (a[1] * third + 2.0 * a[2] * second + 3.0 * a[3] * first) / 3.0]
}

// Sine and cosine together.
fn circle(a: Series) -> (Series, Series) {
    let (s0, c0) = (libm::sin(a[0]), libm::cos(a[0]));
    let (s1, c1) = (a[1] * c0, -a[1] * s0);
    let (s2, c2) = ((a[1] * c1 + 2.0 * a[2] * c0) / 2.0, -(a[1] * s1 + 2.0 * a[2] * s0) / 2.0);
    let s3 = (a[1] * c2 + 2.0 * a[2] * c1 + 3.0 * a[3] * c0) / 3.0;
    let c3 = -(a[1] * s2 + 2.0 * a[2] * s1 + 3.0 * a[3] * s0) / 3.0;
    ([s0, s1, s2, s3], [c0, c1, c2, c3])
}

fn power(a: Series, b: Series) -> Series {
    let whole = libm::fabs(b[0]) <= 16.0 && b[0] == libm::trunc(b[0]);
    if !moves(b) && whole {
        // By multiplication, so that a base of nought has its derivatives.
        let times = (0..libm::fabs(b[0]) as u32).fold(still(1.0), |so_far, _| product(so_far, a));
        return if b[0] < 0.0 { quotient(still(1.0), times) } else { times };
    }
    if !moves(b) && !moves(a) {
        return still(libm::pow(a[0], b[0]));
    }
    let logarithm = along(libm::log(a[0]), quotient(slope(a), a));
    let mut power = exponential(product(b, logarithm));
    power[0] = libm::pow(a[0], b[0]);
    power
}

// The derivative along t; its last part is beyond what is kept.
fn slope(a: Series) -> Series {
    [a[1], 2.0 * a[2], 3.0 * a[3], 0.0]
}

// The series that begins with `value` and has this derivative along t.
fn along(value: f64, slope: Series) -> Series {
    [value, slope[0], slope[1] / 2.0, slope[2] / 3.0]
}

fn moves(a: Series) -> bool {
    a[1] != 0.0 || a[2] != 0.0 || a[3] != 0.0
}

#[cfg(test)]
mod tests {
    use super::{Series, series};
    use crate::program::operations::{Operation, slopes, value};

    // The derivatives of each operation along a curved path, against differences of its exact slopes: value and slope agree to
    // rounding, the second and third order to what differences can tell.
    #[test]
    fn every_series_agrees_with_differences_of_exact_slopes() {
        let two = [
            Operation::Add(0, 1),
            Operation::Subtract(0, 1),
            Operation::Multiply(0, 1),
            Operation::Divide(0, 1),
            Operation::Power(0, 1),
            Operation::AngleOf(0, 1),
            Operation::Where(0, 1),
            Operation::Min(0, 1),
            Operation::Max(0, 1),
        ];
        let one = [
            Operation::Negate(0),
            Operation::Sqrt(0),
            Operation::Abs(0),
            Operation::Exp(0),
            Operation::Ln(0),
            Operation::Sin(0),
            Operation::Cos(0),
            Operation::Tan(0),
            Operation::Asin(0),
            Operation::Acos(0),
            Operation::Atan(0),
        ];
        let paths: [[Series; 2]; 2] = [[[0.6, 0.3, -0.2, 0.1], [0.35, -0.4, 0.25, 0.3]], [[0.55, -0.2, 0.0, 0.0], [0.4, 0.0, 0.0, 0.0]]];
        let run = |path: &Series, t: f64| ((path[3] * t + path[2]) * t + path[1]) * t + path[0];
        let rise = |path: &Series, t: f64| (3.0 * path[3] * t + 2.0 * path[2]) * t + path[1];
        for path in &paths {
            for operation in two.into_iter().chain(one) {
                let found = series(operation, |at| path[at]);
                let slope = |t: f64| -> f64 {
                    let here = |at: usize| run(&path[at], t);
                    let steep = slopes(operation, value(operation, here), here);
                    steep.iter().flatten().map(|(at, slope)| slope * rise(&path[*at], t)).sum()
                };
                let step = 1e-3;
                let exact = value(operation, |at| path[at][0]);
                approx::assert_relative_eq!(found[0], exact, max_relative = 1e-15);
                approx::assert_relative_eq!(found[1], slope(0.0), max_relative = 1e-13, epsilon = 1e-14);
                let second = (8.0 * (slope(step) - slope(-step)) - (slope(2.0 * step) - slope(-2.0 * step))) / (12.0 * step);
                approx::assert_relative_eq!(2.0 * found[2], second, max_relative = 1e-8, epsilon = 1e-9);
                let third = (slope(step) - 2.0 * slope(0.0) + slope(-step)) / (step * step);
                approx::assert_relative_eq!(6.0 * found[3], third, max_relative = 1e-4, epsilon = 1e-5);
            }
        }
    }

    #[test]
    fn a_base_of_nought_has_its_derivatives() {
        let at = |at: usize| if at == 0 { [0.0, 1.0, 0.0, 0.0] } else { [2.0, 0.0, 0.0, 0.0] };
        assert_eq!(series(Operation::Power(0, 1), at), [0.0, 0.0, 1.0, 0.0]);
        assert_eq!(series(Operation::Multiply(0, 0), at), [0.0, 0.0, 1.0, 0.0]);
    }
}
