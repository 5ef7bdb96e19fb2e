//! What rounding leaves where terms cancel: how large the terms behind a value were, and whether a value is nothing
//! beside them.
//!
//! A running analysis of error to first order: a term's size passes through a step as a small change of it would.

use crate::program::operations::Operation;

/// Below this share of its largest term a value is what rounding left of nothing: some thousands of the last binary
/// place, far below anything that could be measured.
const NOTHING: f64 = 1e-12;

/// The size of the largest term that the result of a step was made from, in the unit of the result; `values` and
/// `sizes` hold earlier steps. Never less than the size of the result itself.
pub(super) fn size(operation: Operation, result: f64, values: &[f64], sizes: &[f64]) -> f64 {
    let of = |place: usize| values.get(place).copied().unwrap_or(f64::NAN).abs();
    let term = |place: usize| sizes.get(place).copied().unwrap_or(f64::NAN);
    let behind = match operation {
        Operation::Constant(_) | Operation::Doubt(_) | Operation::Sought(_) | Operation::Fitted(..) | Operation::Step(_) => 0.0,
        Operation::Add(a, b) | Operation::Subtract(a, b) => term(a).max(term(b)),
        Operation::Multiply(a, b) => (of(a) * term(b)).max(of(b) * term(a)),
        Operation::Divide(a, b) => (term(a) / of(b)).max(result.abs() * term(b) / of(b)),
        Operation::Power(a, b) => result.abs() * of(b) * term(a) / of(a),
        Operation::Sqrt(a) => term(a) / (2.0 * result),
        Operation::Exp(a) => result * term(a),
        Operation::Ln(a) => term(a) / of(a),
        Operation::Atan(a) => term(a) / (1.0 + of(a) * of(a)),
        // The slope of sine and cosine is never above one. That of a tangent has no bound, and where it is steep the
        // tangent is anything but nothing.
        Operation::Sin(a) | Operation::Cos(a) | Operation::Tan(a) | Operation::Asin(a) | Operation::Acos(a) => term(a),
        Operation::Negate(a) | Operation::Abs(a) | Operation::Where(a, _) => term(a),
        Operation::AngleOf(a, b) => (term(a) * of(b)).max(term(b) * of(a)) / (of(a) * of(a) + of(b) * of(b)),
        Operation::Min(a, b) | Operation::Max(a, b) => {
            if of(a) == result.abs() {
                term(a)
            } else {
                term(b)
            }
        }
    };
    if behind.is_finite() { behind.max(result.abs()) } else { result.abs() }
}

/// The value without rounding's residue: zero where it is nothing beside the terms it was made from.
pub(super) fn settled(value: f64, size: f64) -> f64 {
    if value.abs() < NOTHING * size { 0.0 } else { value }
}

/// Whether an uncertainty is no more than rounding beside the largest term.
pub(super) fn is_rounding(uncertainty: f64, size: f64) -> bool {
    uncertainty <= 0.1 * NOTHING * size
}

#[cfg(test)]
mod tests {
    use super::{settled, size};
    use crate::program::operations::{Operation, value};

    fn last(operations: &[Operation]) -> f64 {
        let (mut values, mut sizes) = (Vec::new(), Vec::new());
        for operation in operations {
            let found = value(*operation, |at| values.get(at).copied().unwrap_or(f64::NAN));
            let size = size(*operation, found, &values, &sizes);
            values.push(settled(found, size));
            sizes.push(size);
        }
        values.last().copied().unwrap_or(f64::NAN)
    }

    #[test]
    fn what_cancels_leaves_nothing() {
        use Operation::{Constant, Cos, Multiply, Sin, Subtract};
        // In binary64, 0.3 − 0.1·3 is −5.55e−17 and cos(π/2) is 6.12e−17 (IEEE 754); both stand for nothing.
        assert_eq!(last(&[Constant(0.3), Constant(0.1), Constant(3.0), Multiply(1, 2), Subtract(0, 3)]), 0.0);
        assert_eq!(last(&[Constant(core::f64::consts::FRAC_PI_2), Cos(0), Constant(1e4), Multiply(1, 2)]), 0.0);
        assert_eq!(last(&[Constant(core::f64::consts::PI), Sin(0)]), 0.0);
    }

    #[test]
    fn what_is_small_but_meant_is_kept() {
        use Operation::{Add, Atan, Constant, Divide, Exp, Power, Sin, Sqrt, Subtract, Tan};
        assert_eq!(last(&[Constant(1e-15)]), 1e-15);
        assert_eq!(last(&[Constant(1e-15), Sin(0)]), libm::sin(1e-15));
        assert_eq!(last(&[Constant(1e-9), Constant(2.0), Power(0, 1)]), 1e-9 * 1e-9);
        assert_eq!(last(&[Constant(1e-30), Sqrt(0)]), 1e-30_f64.sqrt());
        assert_eq!(last(&[Constant(1.0), Constant(1e20), Divide(0, 1)]), 1.0 / 1e20);
        assert_eq!(last(&[Constant(-100.0), Exp(0)]), libm::exp(-100.0));
        assert_eq!(last(&[Constant(1e20), Atan(0)]), libm::atan(1e20));
        assert_eq!(last(&[Constant(core::f64::consts::FRAC_PI_2), Tan(0)]), libm::tan(core::f64::consts::FRAC_PI_2));
        // A kilonewton less all but a micronewton of it is a micronewton.
        let kept = last(&[Constant(1e3), Constant(1e-6), Add(0, 1), Subtract(2, 0)]);
        assert!((kept - 1e-6).abs() < 1e-12, "{kept}");
    }
}
